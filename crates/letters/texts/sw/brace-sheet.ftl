# Awaits review by a clinician who speaks this language.

brace-title = { $name } na kifaa cha miguu
brace-what = Kifaa hiki ni viatu viwili vilivyofungwa kwenye upau. Hakisogezi mguu. Kinashikilia kile ambacho plasta zimefanya, wakati mguu unakua.
brace-both-feet = Miguu yote miwili inaingia ndani yake, hata mguu ambao haukuwahi kupinda: upau unahitaji yote miwili ili kushikilia ule mmoja.

brace-on-knee = Kunja goti. Kisha kisigino kinashuka kwa urahisi zaidi.
brace-on-heel = Sukuma mguu nyuma hadi kisigino kiwe chini. Unaweza kuona kisigino katika sehemu ya nyuma ya kiatu.
brace-on-middle = Funga mkanda wa katikati kwanza, juu ya kifundo cha mguu, na uukaze vizuri. Huo ndio unaoshikilia kisigino.
brace-on-others = Kisha funga mikanda mingine. Inatosha ishike vizuri tu.
brace-on-check = Vuta mguu taratibu. Kisigino kikipanda, fungua mikanda na uanze tena.

brace-settings-head = Jinsi kilivyowekwa kwa mtoto wako
brace-hours = Saa
brace-hours-yours = { $hours ->
    [one] saa { $hours } kwa siku
   *[other] saa { $hours } kwa siku
  }
brace-hours-usual = { $hours ->
    [one] saa { $hours } kwa siku, kama ilivyo kawaida hapa
   *[other] saa { $hours } kwa siku, kama ilivyo kawaida hapa
  }
brace-bar = Upau
brace-bar-mm = { $mm } mm
brace-turned-out = { $foot ->
    [left] Kiatu cha kushoto kimegeuzwa nje
   *[right] Kiatu cha kulia kimegeuzwa nje
  }
brace-degrees = { $deg }°
brace-size = { $foot ->
    [left] Kiatu cha kushoto
   *[right] Kiatu cha kulia
  }
brace-size-is = saizi { $size }
brace-size-mm = urefu wa ndani { $mm } mm
brace-settings-leave = Tafadhali acha upau na mgeuko wa viatu kama tulivyoviweka. Ikiwa kuna kitu kinaonekana si sawa, tupigie simu: mpangilio usio sahihi unaweza kuumiza mguu.

brace-every-day-head = Kila siku
brace-day-routine = Mvalishe kifaa wakati uleule kila siku, kwa wimbo au hadithi ileile. Watoto hutulia zaidi kwa kile wanachokijua.
brace-day-socks = Tumia soksi laini za pamba zisizo na mikunjo, kwa sababu mikunjo husugua.
brace-day-skin = Angalia ngozi viatu vinapovuliwa. Alama nyekundu hafifu zinazopotea ni za kawaida.
brace-day-no-cream = Usipake krimu kwenye ngozi nyekundu: inafanya ngozi iwe laini, kisha inafunguka kwa urahisi zaidi.
brace-day-together = Sogeza miguu kwa pamoja, na ucheze na upau. Hivyo mtoto wako anajifunza kurusha miguu yote miwili kwa wakati mmoja.
brace-day-no-walker = Usimweke mtoto aliyevaa kifaa kwenye kigari cha kujifunzia kutembea au cha kurukaruka, kwa sababu vinasukuma vidole vya mguu chini.

brace-first-head = Siku za kwanza
brace-first-days = Watoto wengi hukasirika kwa siku moja au mbili. Hawana maumivu: wanahitaji kujifunza kusogeza miguu yote miwili kwa wakati mmoja. Angalia ngozi, mtulize mtoto wako, na usimvue kifaa.
brace-first-hold = Kila mara kinapobaki kimevaliwa, inakuwa rahisi zaidi. Usiku ukiendelea kuwa mgumu, tupigie simu. Si lazima ukabiliane na haya peke yako.

# What the drawing shows, for those who hear the page.
drawing-heel-and-straps = Mchoro: kiatu kinavyoonekana kutoka upande, kisigino kikiwa chini katika sehemu ya nyuma, na mikanda mitatu, wa katikati hufungwa kwanza
