# Awaits review by a clinician who speaks this language.

plan-title = Mpango wa { $name }
plan-urgent = Tunahitaji kumwona mtoto wako sasa. Tafadhali njoo mapema iwezekanavyo, na tupigie simu ikiwa huwezi.
plan-way-head = Tulipo sasa katika safari hii
plan-after-operation = Mtoto wako amefanyiwa upasuaji. Hatua zinazofuata zinapangwa kwa ajili ya mtoto wako tu; tutazipitia pamoja nawe.

# What a step means.
here-first-visit = Katika ziara ya kwanza tunaangalia { $feet ->
    [left] mguu wa kushoto
    [right] mguu wa kulia
   *[both] miguu yote miwili
  } na kuzungumza nawe. Mara nyingi zaidi plasta ya kwanza inawekwa siku hiyo.
here-casts = { $feet ->
    [left] Mguu wa kushoto uko
    [right] Mguu wa kulia uko
   *[both] Miguu yote miwili iko
  } kwenye plasta. Kila plasta mpya inashikilia mguu karibu kidogo zaidi na mahali pake sahihi.
here-casts-again = { $feet ->
    [left] Mguu wa kushoto umepinda
    [right] Mguu wa kulia umepinda
   *[both] Miguu yote miwili imepinda
  } tena kidogo. Hili huwapata watoto wengi. Plasta chache hurudisha mguu mahali pake.
here-heel-cord = { $feet ->
    [left] Kano ya kisigino ya mguu wa kushoto
    [right] Kano ya kisigino ya mguu wa kulia
   *[both] Kano ya kisigino ya miguu yote miwili
  } bado ni fupi mno, hivyo kisigino hakiwezi kushuka. Mkato mdogo unairefusha. Ngozi hutiwa ganzi kwanza, na kano huungana tena ndani ya plasta ya mwisho.
here-last-cast = { $feet ->
    [left] Mguu wa kushoto uko
    [right] Mguu wa kulia uko
   *[both] Miguu yote miwili iko
  } kwenye plasta ya mwisho. Kano ya kisigino inapona katika urefu wake mpya wakati plasta bado imewekwa. Kinachofuata ni kifaa cha miguu.
here-brace-day-and-night = { $feet ->
    [left] Mguu wa kushoto umefika
    [right] Mguu wa kulia umefika
   *[both] Miguu yote miwili imefika
  } mahali pake sahihi. Sasa kifaa cha miguu kinashikilia kile ambacho plasta zimefanya. Kwa miezi ya kwanza kinavaliwa mchana na usiku.
here-brace-at-night = Mtoto wako anavaa kifaa cha miguu wakati wa kulala. Mguu bado unajaribu kupinda tena unapokua, kwa hiyo usiku una umuhimu uleule kama awali.
here-after-brace = Miaka ya kuvaa kifaa imekwisha. Bado tunaangalia { $feet ->
    [left] mguu wa kushoto
    [right] mguu wa kulia
   *[both] miguu yote miwili
  } mara moja moja, kwa sababu baadhi ya miguu hupinda tena baadaye. Tukiona mapema, ni rahisi kuisaidia.

plan-dates-head = Tarehe zinazofuata
plan-date-between = Ziara yako inayofuata inapaswa kuwa kati ya { $from } na { $to }. Tutakubaliana nawe siku.
plan-date-now = Wakati wa ziara ya mtoto wako umefika sasa. Tupigie simu, na tutakubaliana siku ya kwanza yenye nafasi.
plan-date-open = Tutakupa tarehe inayofuata kabla hujaondoka.

visit-first = Ziara ya kwanza
visit-cast = Plasta mpya
visit-heel-cord = Kano ya kisigino
visit-brace-fitting = Kutoa plasta, kuvalisha kifaa
visit-brace-review = Ufuatiliaji pamoja na kifaa
visit-review = Ufuatiliaji

# The next visit.
plan-next-head = Katika ziara inayofuata
next-first = Tunamwangalia mtoto wako na miguu yake, tunaeleza tunachoona, na tunajibu maswali yako. Chukua muda wote unaohitaji.
next-cast = Tunatoa plasta, tunaosha mguu, tunauangalia na kuusogeza taratibu. Kisha plasta mpya inawekwa. Haiumi, lakini mtoto wako huenda asipende kushikwa ili atulie.
next-cast-off = Iache plasta ilivyo hadi ufike hapa, isipokuwa kama tumekuomba uitoe. Mguu usio na plasta huanza kupinda tena ndani ya saa chache.
next-heel-cord = Ngozi ya kisigino inatiwa ganzi, na kano ya kisigino inakatwa kupitia tundu dogo sana. Inachukua dakika chache. Haihitaji kushonwa.
next-heel-cord-after = Plasta inawekwa papo hapo. Muda mfupi baadaye unaweza kumshika na kumlisha mtoto wako. Tunamwangalia mtoto wako kwa muda kabla hamjaenda nyumbani.
next-brace-fitting = Plasta ya mwisho inatolewa, na tunaangalia mguu. Kisha tunavalisha viatu na upau na kuviweka sawa.
next-brace-learn = Utamvalisha mtoto kifaa wewe mwenyewe kabla ya kuondoka, ili ujue kuwa unaweza kufanya hivyo nyumbani.
next-brace-review = Tunaangalia miguu na ngozi, tunaona kama viatu na upau bado vinatosha, na tunazungumza kuhusu hali ya usiku.
next-review = Tunaangalia jinsi miguu ilivyokua na jinsi mtoto wako anavyosogea.

bring-feed = Leta maziwa au chakula cha mtoto: mtoto anayekunywa hutulia, na plasta inawekwa vizuri zaidi.
bring-papers = Leta barua ya daktari wako na kijitabu cha kliniki cha mtoto, ili tujue kilichofanywa awali.
bring-loose-clothes = Leta suruali pana au blanketi linalotosha juu ya plasta.
bring-feeding-times = Tuulize kabla ya siku hiyo ni lini mtoto anaweza kunyonya au kula kwa mara ya mwisho. Inategemea dawa itakayotumika.
bring-two = Njoo na mtu wa pili ukiweza: mmoja anamshika mtoto, mwingine anasikiliza tunachosema.
bring-socks = Leta jozi mbili za soksi laini za pamba, kwa sababu mishono inasugua ngozi.
bring-everybody = Njoo na kila mtu atakayemvalisha mtoto kifaa nyumbani, ili wote wafanye kwa njia moja.
bring-brace = Leta kifaa, ili tukiangalie kikiwa kwenye miguu.
bring-hours = Leta maandishi yako ya saa za kuvaa, hata za siku mbaya. Yanatusaidia kukusaidia; hakuna anayelaumiwa.
bring-questions = Andika maswali yako kila yanapokujia, na ulete orodha hiyo.

# The hours.
hours-head = Saa za kuvaa kifaa
hours-now = { $hours ->
    [one] Sasa: saa { $hours } kwa siku.
   *[other] Sasa: saa { $hours } kwa siku.
  }
hours-later-from = { $hours ->
    [one] Baadaye: saa { $hours } kwa siku, kwa usingizi wa usiku na wa mchana.
   *[other] Baadaye: saa { $hours } kwa siku, kwa usingizi wa usiku na wa mchana.
  } Tunapanga hivi kuanzia { $day }, ikiwa mguu uko vizuri.
hours-later = { $hours ->
    [one] Baadaye: saa { $hours } kwa siku, kwa usingizi wa usiku na wa mchana.
   *[other] Baadaye: saa { $hours } kwa siku, kwa usingizi wa usiku na wa mchana.
  } Tutakuambia ni lini.
hours-until = Kifaa kimepangwa kuvaliwa hadi takriban { $day }.
hours-why = Saa za kuvaa ndizo zinazoshikilia mguu: miguu inayopata saa zake hupinda tena mara chache.

# What to look at.
plan-daily-head = Angalia haya kila siku
daily-toes = Vidole vya mguu: unaviona vyote, vina rangi ya pinki na vina joto? Hii inaonyesha kuwa plasta haibani sana.
daily-cast-dry = Plasta: ni kavu na safi? Plasta iliyolowa huwa laini na huumiza ngozi.
daily-cast-soft = Kingo: ngozi kwenye ukingo wa juu na kwenye vidole iko vizuri? Basi hakuna kinachosugua.
daily-heel = Kisigino: kiko chini na nyuma kabisa ndani ya kiatu? Ni hapo tu mguu unaposhikiliwa.
daily-skin = Ngozi: angalia miguu yote miwili kila viatu vinapovuliwa. Alama nyekundu hafifu zinazopotea ni za kawaida.
daily-toe-edge = Vidole vya mguu: vinapita mwisho wa kiatu? Basi hivi karibuni kitakuwa kidogo mno.
daily-walk = Kutembea: mtoto wako anakanyaga kwa unyayo wote?
daily-heel-touches = Kisigino: kinagusa sakafu mtoto wako anapochuchumaa?

# What is likely.
likely-head = Tunachotarajia
likely-casts = { $foot ->
    [left] Mguu wa kushoto
   *[right] Mguu wa kulia
  }: kwa takriban watoto { $children } kati ya 10 wenye mguu kama huu, { $from ->
    [0] hakuna plasta zaidi inayohitajika, au zinahitajika hadi { $to } zaidi.
   *[other] zinahitajika plasta { $from } hadi { $to } zaidi.
  }
likely-heel-cord = { $foot ->
    [left] Mguu wa kushoto
   *[right] Mguu wa kulia
  }: takriban watoto { $children } kati ya 10 wenye mguu kama huu wanahitaji mkato mdogo wa kano ya kisigino. Inaweza kuwa { $low } au { $high } kati ya 10; hatuwezi kujua kwa uhakika zaidi.
likely-not-promise = Kila mtoto ni tofauti. Haya ndiyo yaliyowatokea watoto wengine, na si ahadi.
