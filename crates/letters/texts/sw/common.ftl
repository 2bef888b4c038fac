# Awaits review by a clinician who speaks this language.

# Whose it is.
whose-name = { $name }
whose-born = Tarehe ya kuzaliwa: { $day }
whose-number = Namba: { $number }
whose-made = Imeandikwa { $day }, { $clinic }

# The steps on the way.
stage-first-visit = Ziara ya kwanza
stage-casts = Plasta
stage-heel-cord = Kano ya kisigino
stage-last-cast = Plasta ya mwisho
stage-brace-day-and-night = Kifaa cha miguu mchana na usiku
stage-brace-at-night = Kifaa cha miguu usiku
stage-after-brace = Ziara za ufuatiliaji

you-are-here = { $feet ->
    [left] Uko hapa: mguu wa kushoto
    [right] Uko hapa: mguu wa kulia
   *[both] Uko hapa
}

# Headings and labels that every document has.
emergency-head = Njoo kwenye huduma ya dharura leo ikiwa
emergency-why = Dalili hizi zinaweza kuwa za hatari, kwa hiyo usisubiri ziara inayofuata.
ring-head = Tupigie simu ikiwa
telephone-label = Simu yetu
telephone-blank = Andika namba hapa:
dates-day = Siku
dates-time = Wakati
dates-what = Kwa ajili ya

# Signs for which the child is brought in at once.
emergency-toes = vidole vya mguu vimekuwa vyeusi au vyeupe, vina baridi au vimevimba
emergency-hidden-toes = huwezi tena kuona vidole vya mguu
emergency-skin = ngozi imefunguka au ina lengelenge
emergency-fever = mtoto wako ana homa
emergency-blood = doa la damu kwenye plasta linaendelea kukua
emergency-crying = mtoto wako analia na hakuna kinachomtuliza

# When to ring.
ring-cast-wet = plasta imelowa, imepasuka au imekuwa laini, kwa sababu haiwezi tena kushikilia mguu
ring-cast-loose = plasta inateleza kushuka au inazunguka, kwa sababu inaweza kusugua ngozi na mguu unaweza kupinda tena
ring-cast-smell = plasta inanuka vibaya au ngozi ya ukingoni mwake inauma
ring-red = wekundu wa ngozi haupotei, kwa sababu unaweza kugeuka kuwa kidonda
ring-heel = kisigino hakikai chini ndani ya kiatu, kwa sababu hapo kifaa hakishikilii mguu
ring-toes-over = vidole vinakunjamana kupita mwisho wa kiatu, kwa sababu ni wakati wa kupata kiatu kikubwa zaidi
ring-brace-off = kifaa hakikuvaliwa kwa usiku mmoja, kwa sababu mguu unaweza kupinda tena haraka
ring-brace-broken = mkanda, skrubu au upau umevunjika au kukatika
ring-foot-turns = mguu unaonekana kama unapinda tena kuelekea ndani, au kisigino hakigusi tena sakafu
ring-cannot-come = huwezi kuja siku hiyo: tutapata siku nyingine hivi karibuni

language-name = Kiswahili
translation-awaits-review = Maandishi haya yametafsiriwa, na bado hayajakaguliwa na mhudumu wa afya anayezungumza lugha hii. Ikiwa kuna jambo lisiloeleweka au linaloonekana si sahihi, tuulize.

# Named by the clinic, below the plan.
talk-to-head = Watu mnaoweza kuzungumza nao
talk-to-line = { $text }
