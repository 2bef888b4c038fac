# Awaits review by a clinician who speaks this language.

# What to expect, a sheet for each stage.
expect-questions-head = Maswali ambayo wazazi huuliza mara nyingi

# First casts
expect-casts-title = { $name }: plasta za kwanza
expect-casts-why = Mguu kifundo umepinda kuelekea ndani na chini kwa sababu sehemu laini za upande wa ndani na za nyuma ni fupi. Kwa mtoto mchanga bado zinavutika vizuri.
expect-casts-how = Mara moja kwa wiki tunasogeza mguu taratibu hadi pale unapofika, na plasta inaushikilia hapo. Katika wiki hiyo, sehemu laini zinakua kufikia urefu mpya.
expect-casts-many = Miguu mingi inahitaji wiki kadhaa za plasta. Tunahesabu dalili kwenye mguu katika kila ziara, ili uweze kuona umefika wapi.
expect-casts-feel = Kusogeza mguu hakuumi. Watoto wengi wachanga hulia kwa sababu wameshikwa, na hunyamaza wanapokunywa.
expect-casts-home = Nyumbani unaangalia vidole vya mguu, unatunza plasta iwe kavu, na unaendelea na maisha yako: lisha, beba, imba, lala. Karatasi ya plasta inaonyesha jinsi ya kufanya.
expect-casts-q-cause = Je, tulifanya kosa?
expect-casts-a-cause = Hapana. Mguu ulipinda wakati mtoto wako akikua tumboni. Hakuna ulichokula, ulichofanya au ulichobeba kilichosababisha.
expect-casts-q-bath = Je, tunaweza kumwogesha mtoto wetu?
expect-casts-a-bath = Si akiwa na plasta: msafishe kwa kitambaa. Ikiwa tunatoa plasta wakati wa ziara, tuulize kama kuna muda wa kumwogesha.
expect-casts-q-walk = Je, mtoto wetu atatembea?
expect-casts-a-walk = Ndiyo. Watoto waliotibiwa kwa njia hii hutembea, hukimbia na hucheza. Mara nyingi huanza kupiga hatua za kwanza karibu miezi miwili baada ya wengine.
expect-casts-q-miss = Itakuwaje tusipoweza kuja wiki moja?
expect-casts-a-miss = Tupigie simu, na tutapata siku nyingine hivi karibuni. Plasta inayokaa muda mrefu mno inaweza kuwa ndogo mno kwa mguu unaokua.

# The day of the tenotomy
expect-cord-title = { $name }: siku ya kano ya kisigino
expect-cord-why = Plasta zimegeuza mguu, lakini kano iliyo nyuma ya kisigino bado ni fupi na inakiweka kisigino juu. Plasta hunyoosha kano kidogo sana. Mkato mdogo unaifanya iwe ndefu ya kutosha.
expect-cord-before = Kabla: tunamchunguza mtoto wako na mguu, na kuuliza kuhusu magonjwa, mzio na dawa. Ngozi ya kisigino inatiwa ganzi. Tuulize ni lini anaweza kunyonya au kula kwa mara ya mwisho.
expect-cord-during = Wakati wa mkato: mkato unafanywa kupitia tundu dogo sana na unachukua dakika chache. Tuambie kama unataka kuwa chumbani au kusubiri nje. Yote mawili ni sawa.
expect-cord-after = Baada ya mkato: plasta inawekwa papo hapo, kisigino kikiwa chini. Unaweza kumshika na kumlisha mtoto wako. Tunamwangalia mtoto wako kabla hamjaenda nyumbani.
expect-cord-weeks = Plasta hii ya mwisho inakaa kwa wiki kadhaa, muda mrefu kuliko zile nyingine, kwa sababu kano inaungana ndani yake.
expect-cord-q-pain = Je, inauma?
expect-cord-a-pain = Ngozi ina ganzi wakati wa mkato. Mtoto wako anaweza asitulie siku hiyo. Tunakuambia ni dawa gani unaweza kutoa na kiasi gani.
expect-cord-q-strength = Je, kano ya kisigino itakuwa dhaifu?
expect-cord-a-strength = Kwa mtoto mchanga ncha mbili huungana katika urefu mpya ndani ya wiki kadhaa. Watoto hutembea na kukimbia kwa kano hiyo.
expect-cord-q-blood = Je, kutakuwa na damu?
expect-cord-a-blood = Doa dogo kwenye plasta ni la kawaida. Likiendelea kukua, njoo kwenye huduma ya dharura siku hiyohiyo.
expect-cord-q-all = Je, kila mtoto anahitaji mkato huu?
expect-cord-a-all = Wengi wanauhitaji, wengine hawauhitaji. Inategemea mguu unafika juu kiasi gani baada ya plasta.

# First week of the brace
expect-brace-title = { $name }: wiki ya kwanza ya kifaa cha miguu
expect-brace-why = Mguu uko mahali pake sahihi, lakini bado unajaribu kupinda tena unapokua. Kifaa hakiuruhusu.
expect-brace-hours = Mwanzoni kifaa kinavaliwa mchana na usiku. Kinavuliwa kwa ajili ya kuosha na kwa muda mfupi wa kurusha miguu kwa uhuru, kama tulivyokueleza.
expect-brace-first-nights = Usiku wa siku za kwanza ndio mgumu zaidi. Watoto wengi hukasirika kwa siku moja au mbili, kwa sababu bado hawawezi kusogeza mguu mmoja bila mwingine. Hawana maumivu.
expect-brace-help = Angalia ngozi kwanza, ili ujue kuwa kila kitu kiko sawa. Kisha mshike, mlishe na umbembeleze mtoto wako akiwa na kifaa. Kunja magoti yote mawili kwa pamoja, tena na tena: watoto hujifunza haraka.
expect-brace-stay = Kifaa kikivuliwa kila mtoto wako anapolia, kilio kinazidi kuwa kirefu. Kikibaki na wewe ukawa mtulivu, kinaisha mapema zaidi.
expect-brace-q-skin = Tutajuaje kuwa hakibani?
expect-brace-a-skin = Angalia miguu kila viatu vinapovuliwa. Alama nyekundu hafifu zinazopotea ni za kawaida. Ikiwa ngozi imefunguka au ina lengelenge, njoo siku hiyohiyo.
expect-brace-q-sleep = Mtoto wetu atalala vipi?
expect-brace-a-sleep = Chali, kama awali, au kama tulivyokueleza. Upe upau nafasi: mfuko wa kulalia ulio mpana chini ni bora kuliko blanketi lililobana.
expect-brace-q-hold = Je, bado tunaweza kumbeba na kumlisha mtoto wetu?
expect-brace-a-hold = Ndiyo. Acha upau ukae upande wako mmoja. Kitambaa laini kilichozungushwa kwenye upau kinalinda mikono yako na samani.

# Nights and naps
expect-nights-title = { $name }: kuhamia usingizi wa usiku na wa mchana
expect-nights-why = Miezi ya kwanza imekwisha. Kuanzia sasa kifaa kinavaliwa wakati wa kulala, na mtoto wako yuko huru katikati.
expect-nights-how = Chagua saa zinazofaa siku yako: usiku mzima, na usingizi wa mchana. Mvalishe kifaa kabla mtoto wako hajachoka sana.
expect-nights-note = Andika saa za kuvaa, hata za siku mbaya. Tunazitumia kusaidia, si kuhukumu.
expect-nights-danger = Sasa mguu unaonekana vizuri, na hilo ndilo linalofanya miaka hii iwe migumu. Miguu mingi inayopinda tena hupinda kwa sababu usiku wa kuvaa ulipungua, kidogo kidogo.
expect-nights-q-one = Je, usiku mmoja bila kifaa una madhara?
expect-nights-a-one = Usiku mmoja wa homa hauharibu kazi iliyofanyika. Mvalishe tena usiku unaofuata. Ikiwa hakikuvaliwa kwa muda mrefu zaidi, tupigie simu.
expect-nights-q-long = Hili litaendelea kwa muda gani?
expect-nights-a-long = Hadi mtoto wako afikie karibu miaka minne au mitano, kama tulivyopanga pamoja nawe. Mguu hukua haraka katika miaka hii, na ndipo unapopinda tena.
expect-nights-q-shoes = Mtoto wetu anaweza kuvaa viatu gani mchana?
expect-nights-a-shoes = Viatu vyovyote vinavyomtosha. Kuwa bila viatu pia ni vizuri.

# A habit
expect-habit-title = { $name }: kukifanya kifaa kuwa mazoea
expect-habit-why = Kifaa ambacho ni sehemu ya kulala, kama nguo za kulalia, hakigombaniwi. Mazoea huchukua wiki kadhaa, kisha yenyewe yanakubeba.
expect-habit-same = Mpangilio uleule kila jioni: kuoga, nguo za kulalia, kifaa, wimbo, kitanda. Watoto hupenda kujua kinachofuata.
expect-habit-calm = Kuwa mtulivu na mwenye uhakika. Watoto husoma usoni mwako kama jambo liko sawa.
expect-habit-choice = Usiulize kama atavaa, uliza kipi: soksi zipi, wimbo upi, kiatu cha kushoto kwanza au cha kulia. Hivyo mtoto wako ana la kusema.
expect-habit-praise = Sifu kilichokwenda vizuri, na usizungumze sana kuhusu kisichokwenda vizuri.
expect-habit-others = Kaka na dada wanaweza kusaidia: kushika soksi, kumvalisha mwanasesere kiatu, kuimba wimbo.
expect-habit-nursery = Waonyeshe watu wa kituo cha kulea watoto jinsi kifaa kinavyovaliwa, na uwape barua yetu. Usingizi wa mchana nao unahesabika.
expect-habit-hard = Ikiwa kifaa kinagombaniwa kwa zaidi ya wiki moja, tupigie simu. Mara nyingi kuna kitu kinachobana au kilicho kidogo mno, na tunaweza kukirekebisha.
expect-habit-q-takes-off = Mtoto wetu amejifunza kufungua mikanda. Tufanyeje?
expect-habit-a-takes-off = Wengi hufanya hivyo. Mvalishe soksi ndefu au mfuko wa kulalia juu ya viatu, na usifu usiku ambao vimebaki vimefungwa. Tupigie simu isiposaidia.

# Growing out of boots
expect-boots-title = { $name }: viatu vinapokuwa vidogo
expect-boots-why = Mguu wa mtoto mchanga hukua karibu milimita tatu kwa mwezi, kwa hiyo viatu vya kwanza hudumu miezi michache tu. Baadaye viatu vinadumu zaidi.
expect-boots-sign = Angalia vidole vya mguu: vikikunjamana kupita mwisho wa kiatu, kiatu ni kidogo mno. Dalili nyingine ni alama kwenye vidole au kisigino kinachopanda.
expect-boots-early = Tupigie simu vidole vinapokaribia ukingo, na si tu vinapokuwa vimeupita. Jozi mpya inaweza kuchukua wiki kadhaa kufika.
expect-boots-meanwhile = Hadi zifike, endelea na jozi ya zamani, isipokuwa ngozi inauma au tumekuambia vinginevyo. Usiku bila kifaa unadhuru zaidi kuliko vidole kubanwa.
expect-boots-bar = Upau nao unakua: unapaswa kuwa na upana sawa na mabega. Tunaupima katika kila ziara.

# Troubles
expect-troubles-title = { $name }: kifaa kinapokuwa kigumu
expect-troubles-why = Karibu kila familia hupitia wakati mgumu na kifaa wakati fulani. Inasaidia kutafuta chanzo kabla ya kujaribu kwa nguvu zaidi.
expect-troubles-heel = Kisigino kinapanda: kunja goti, sukuma kisigino chini, na ufunge mkanda wa katikati kwanza na kwa kuukaza vizuri.
expect-troubles-red = Alama nyekundu: vua viatu kwa nusu saa. Alama zinazopotea zinahitaji kuangaliwa tu. Zisipopotea, tupigie simu.
expect-troubles-blister = Lengelenge au ngozi iliyofunguka: usivalishe kiatu kwenye mguu huo, usipasue lengelenge, na uje siku hiyohiyo.
expect-troubles-cry = Kulia akiwa na kifaa: angalia vidole vya mguu, kisigino na ngozi kwanza. Ikiwa kila kitu kiko sawa, mshike na umtulize mtoto wako akiwa na kifaa.
expect-troubles-hours = Saa chache mno: rudi kwenye saa zilizofaulu. Ongeza saa moja kila baada ya usiku kadhaa.
expect-troubles-lost = Skrubu iliyopotea au mkanda uliokatika: tupigie simu siku hiyohiyo, ili usipotee usiku hata mmoja.
expect-troubles-together = Tuambie pia unapohisi kuwa huwezi kuendelea. Tunajua ni vigumu kiasi gani, na tunatafuta njia pamoja nawe.

# Turning back
expect-back-title = { $name }: dalili kuwa mguu unapinda tena
expect-back-why = Baadhi ya miguu hupinda tena, hata kwa matunzo bora. Ikionekana mapema, mara nyingi plasta chache huurekebisha. Kwa hiyo tafadhali angalia, na uje unapokuwa na shaka.
expect-back-heel = Kisigino hakigusi tena sakafu, au mtoto wako anaanza kutembea kwa vidole.
expect-back-brace = Kisigino hakishuki tena ndani ya kiatu, ingawa awali kilishuka.
expect-back-in = Sehemu ya mbele ya mguu inapinda ndani, au unyayo unaelekea ndani mtoto wako anapoinua mguu akitembea.
expect-back-edge = Viatu vinachakaa kwenye ukingo wa nje.
expect-back-squat = Mtoto wako hawezi kuchuchumaa visigino vyote viwili vikiwa sakafuni.
expect-back-do = Ukiona mojawapo ya haya, tupigie simu. Si lazima uwe na uhakika: kuangalia ni kazi yetu.
expect-back-q-fault = Je, ni kosa letu?
expect-back-a-fault = Hapana. Mvuto wa kupinda tena uko ndani ya mguu. Kifaa kinauzuia kadiri kinavyoweza.

# The last year
expect-last-title = { $name }: mwaka wa mwisho wa kifaa
expect-last-why = Mwisho umekaribia. Sasa mguu unakua polepole zaidi, na mwaka hadi mwaka hupinda tena mara chache zaidi.
expect-last-hold = Endelea na usiku wa kuvaa kama ulivyo hadi usiku wa mwisho. Tunaamua mwisho pamoja, baada ya kuangalia mguu.
expect-last-after = Baadaye bado tunaangalia mguu mara moja moja, kwa sababu miguu michache hupinda tena baada ya kifaa.
expect-last-proud = Mtoto wako, na wewe, mmefanya hili kwa miaka. Jivunieni.
