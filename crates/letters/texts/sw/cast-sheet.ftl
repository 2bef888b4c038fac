# Awaits review by a clinician who speaks this language.

cast-title = { $name } na plasta
cast-what = Plasta hii ngumu inaanzia kwenye vidole vya mguu hadi juu kwenye paja. Inashikilia mguu mahali pazuri zaidi, ili sehemu laini zikue kwa namna hiyo.
cast-each = Inabadilishwa karibu mara moja kwa wiki. Kila mara mguu unasogea mbele kidogo zaidi.

cast-draw-toes = Vidole vyote vya mguu vinaonekana. Vikiwa na rangi ya pinki na joto, damu inapita vizuri.
cast-draw-knee = Goti limekunjwa, ili plasta isiteleze kushuka. Mtoto wako anaweza kulala na kushikwa hivi.
cast-draw-heel = Weka taulo lililoviringishwa chini ya mguu, kati ya goti na kisigino, ili kisigino kining'inie bila kugusa kitu. Kisigino kinacholala kitandani hupata kidonda.

cast-first-day-head = Siku ya kwanza
cast-first-toes = Angalia vidole vya mguu kila saa hadi wakati wa kulala, na mara moja usiku. Ikiwa plasta inabana sana, ni wakati huu inapoonekana.
cast-first-dry = Plasta inahitaji karibu siku moja kukauka. Iache kwenye hewa wazi na juu ya kitu laini, ili isibonyee.
cast-first-lift = Mwinue mtoto wako kwa mkono mmoja chini ya mwili na mkono mmoja chini ya plasta. Usivute plasta.
cast-first-unsettled = Watoto wengi hawatulii kwa siku moja. Kuwashika, kuwalisha na kuwatembeza husaidia.

cast-every-day-head = Kila siku
cast-toes-colour = Angalia vidole vya mguu kila unapomnyonyesha au kumlisha: vina rangi ya pinki, vina joto, vyote vinaonekana.
cast-pinch = Bonyeza kidole cha mguu na uachie. Kinakuwa cheupe, kisha kinarudi kuwa na rangi ya pinki ndani ya sekunde mbili. Kisiporudi, huenda plasta inabana sana.
cast-dry = Msafishe mtoto wako kwa kitambaa na usiingize plasta kwenye maji ya kuoga, kwa sababu maji huifanya iwe laini.
cast-nappy = Mvalishe nepi ili ukingo wake uwe nje ya plasta, na uibadilishe mara nyingi. Plasta iliyolowa huumiza ngozi.
cast-nothing-inside = Usiingize kitu chochote ndani ya plasta, hata kama kuna mwasho. Mkwaruzo chini ya plasta unaweza kugeuka kuwa kidonda.
cast-carry = Mbebe na umkumbatie mtoto wako kama ulivyofanya awali. Plasta haidhuriki kwa hilo.

cast-cut-head = Baada ya mkato wa kano ya kisigino
cast-cut-stain = Doa dogo la damu kwenye kisigino ni la kawaida.
cast-cut-draw = Chora mstari kuzunguka doa kwa kalamu na uandike saa kando yake. Hivyo unaweza kuona kama linakua.
cast-cut-medicine = Toa dawa ya maumivu kama tulivyokueleza. Tuulize kabla ya kutoa dawa nyingine yoyote.

cast-off-head = Kutoa plasta
cast-off-clinic = Tunatoa plasta wakati wa ziara. Iache hadi wakati huo, isipokuwa kama tumekuomba uitoe nyumbani: mguu usio na plasta huanza kupinda tena ndani ya saa chache.

# What the drawing shows, for those who hear the page.
drawing-leg-in-cast = Mchoro: mguu wenye plasta, goti limekunjwa, vidole vya mguu vinaonekana, na taulo lililoviringishwa chini ya mguu
