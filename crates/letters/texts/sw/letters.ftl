# Awaits review by a clinician who speaks this language.

# Appointment letter
appointment-title = Ziara inayofuata ya { $name }
appointment-when = Tafadhali njoo siku ya { $day }.
appointment-when-time = Tafadhali njoo siku ya { $day }, wakati: { $time }.
appointment-more-head = Tarehe nyingine
appointment-change = Ikiwa huwezi kuja siku hiyo, tupigie simu, na tutapata siku nyingine hivi karibuni. Hata siku chache zina athari kwa mguu.
appointment-late = Ukichelewa, njoo hata hivyo. Tutapata njia.

# Missed-visit letter
missed-title = Tulimkosa { $name }
missed-day = Ulikuwa na miadi nasi siku ya { $day }, na hatukukuona.
missed-why = Huenda kuna sababu nzuri: mtoto mgonjwa, hakuna basi, hakuna nauli, kazi. Tuambie kinachofanya iwe vigumu, na tutafute njia pamoja nawe.
missed-cast = Plasta haipaswi kukaa kwa muda unaozidi sana wiki moja. Ikiwa bado ipo, tupigie simu leo, ili tuibadilishe hivi karibuni.
missed-brace = Mguu bado unakua na unajaribu kupinda tena. Tungependa kuuangalia pamoja na kifaa. Ikiwa kifaa hakivaliwi tena, njoo hata hivyo: hakuna anayelaumiwa.
missed-other = Tungependa kuona hali ya miguu.
missed-do = Tupigie simu au njoo siku yoyote ya kliniki. Huhitaji barua mpya ya daktari wako.

# Letter to the nursery
nursery-title = { $name } anavaa kifaa cha miguu
nursery-to = Kwa watu wanaomtunza { $name }
nursery-why = { $name } alizaliwa na mguu uliopinda kuelekea ndani. Plasta zimeugeuza hadi mahali pake. Kifaa kinaushikilia unapokua.
nursery-hours-day = Kifaa kinavaliwa karibu siku nzima, { $hours ->
    [one] saa { $hours }
   *[other] saa { $hours }
  } kwa jumla. Kinavuliwa tu kwa ajili ya kuosha na kwa muda mfupi wa kurusha miguu kwa uhuru.
nursery-hours-naps = Kifaa kinavaliwa wakati wa kulala, { $hours ->
    [one] saa { $hours }
   *[other] saa { $hours }
  } kwa siku kwa jumla. Kwa hiyo tafadhali mvalishe pia kwa usingizi wa mchana.
nursery-on-head = Jinsi kinavyovaliwa
nursery-normal = Mbali na hili, { $name } anaweza kufanya kila kitu ambacho watoto wengine hufanya. Watoto wenye kifaa hukaa, hutambaa na kucheza wakiwa nacho.
nursery-check = Baada ya kila usingizi wa mchana angalia ngozi. Alama nyekundu hafifu zinazopotea ni za kawaida. Ikiwa ngozi imefunguka, usimvalishe kiatu na uwapigie wazazi simu mara moja.
nursery-note = Tafadhali andika ni wakati gani kilivaliwa, na uwaambie wazazi jioni.

# Diary of the hours
diary-title = Saa za { $name } kwenye kifaa
diary-how = Kwa kila siku weka alama ya X kwenye kisanduku chenye idadi ya saa ambazo kifaa kilivaliwa. Weka X kwenye 0 ikiwa hakikuvaliwa, na uache mstari mtupu ikiwa hujui.
diary-wrong = Umekosea? Jaza kisanduku hicho chote, kisha weka X kwenye kisanduku sahihi.
diary-example = Mfano: saa { $hours }
diary-why = Saa za kweli zinatusaidia kukusaidia. Hakuna anayelaumiwa kwa wiki mbaya.
diary-week = Wiki kuanzia { $day }
diary-hours = Saa
diary-skin = Ngozi iko vizuri?
diary-bring = Leta ukurasa huu katika ziara inayofuata, au tutumie picha yake.
