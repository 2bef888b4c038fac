# What to expect, a sheet for each stage.
expect-questions-head = What parents often ask

# First casts
expect-casts-title = { $name }: the first casts
expect-casts-why = A clubfoot is turned in and down because the soft parts on the inner side and at the back are short. In a baby they still stretch well.
expect-casts-how = Once a week we move the foot gently as far as it goes, and a cast holds it there. In the week between, the soft parts grow to the new length.
expect-casts-many = Most feet need some weeks of casts. We count signs on the foot at every visit, so that you can see how far it has come.
expect-casts-feel = Moving the foot does not hurt. Many babies cry because they are held, and stop when they drink.
expect-casts-home = At home you look at the toes, keep the cast dry, and go on with your life: feed, carry, sing, sleep. The cast sheet shows how.
expect-casts-q-cause = Did we do something wrong?
expect-casts-a-cause = No. The foot turned while your baby grew in the womb. Nothing that you ate, did or carried has caused it.
expect-casts-q-bath = Can we bath our baby?
expect-casts-a-bath = Not in the cast: wash with a cloth. If we take the cast off at the visit, ask us whether there is time for a bath.
expect-casts-q-walk = Will our child walk?
expect-casts-a-walk = Yes. Children treated in this way walk, run and play. They often take their first steps about two months later than others.
expect-casts-q-miss = What if we cannot come one week?
expect-casts-a-miss = Ring us, and we find another day soon. A cast that stays on too long can be too small for a growing leg.

# The day of the tenotomy
expect-cord-title = { $name }: the day of the heel cord
expect-cord-why = The casts have turned the foot, but the cord at the heel is still short and keeps the heel up. Casts stretch the cord very little. A small cut makes it long enough.
expect-cord-before = Before: we check your child and the foot, and ask about illness, allergies and medicines. The skin at the heel is numbed. Ask us when the last feed may be.
expect-cord-during = During: the cut is made through a very small hole and takes a few minutes. Tell us whether you want to be in the room or wait outside. Both are right.
expect-cord-after = After: a cast goes on at once, with the heel down. You can hold and feed your child. We watch your child before you go home.
expect-cord-weeks = This last cast stays on for some weeks, longer than the others, because the cord grows together in it.
expect-cord-q-pain = Does it hurt?
expect-cord-a-pain = The skin is numb during the cut. Your child may be unsettled on that day. We tell you which medicine you can give and how much.
expect-cord-q-strength = Will the heel cord be weak?
expect-cord-a-strength = In a baby the two ends grow together at the new length within weeks. Children walk and run on it.
expect-cord-q-blood = Will there be blood?
expect-cord-a-blood = A small stain on the cast is usual. If it keeps growing, come to emergency care on the same day.
expect-cord-q-all = Does every child need it?
expect-cord-a-all = Most do, some do not. It depends on how far the foot comes up after the casts.

# First week of the brace
expect-brace-title = { $name }: the first week of the brace
expect-brace-why = The foot is in its right place, but it still tries to turn back as it grows. The brace does not let it.
expect-brace-hours = At first the brace stays on day and night. It comes off for washing and for a little free kicking, as we have told you.
expect-brace-first-nights = The first nights are the hardest. Most children are cross for a day or two, because they cannot yet move one leg without the other. They are not in pain.
expect-brace-help = Look at the skin first, so that you know that all is well. Then hold, feed and rock your child in the brace. Bend both knees together, again and again: children learn it quickly.
expect-brace-stay = If the brace comes off each time your child cries, the crying gets longer. If it stays on and you are calm, it ends sooner.
expect-brace-q-skin = How do we know that it does not press?
expect-brace-a-skin = Look at the feet each time the boots come off. Light red marks that fade are usual. If the skin is open or has a blister, come on the same day.
expect-brace-q-sleep = How will our child sleep?
expect-brace-a-sleep = On the back, as before, or as we have told you. Give the bar room: a sleeping bag that is wide at the bottom is better than a tight blanket.
expect-brace-q-hold = Can we still carry and feed our child?
expect-brace-a-hold = Yes. Let the bar rest to one side of you. A cover of soft cloth around the bar saves your arms and the furniture.

# Nights and naps
expect-nights-title = { $name }: changing to nights and naps
expect-nights-why = The first months are done. From now on the brace is worn for sleep, and your child is free in between.
expect-nights-how = Choose the hours so that they fit your day: the whole night, and the naps. Put the brace on before your child is too tired.
expect-nights-note = Write down the hours, also of bad days. We use them to help, and not to judge.
expect-nights-danger = Now the foot looks well, and that is what makes these years hard. Most feet that turn back do so because the nights became fewer, little by little.
expect-nights-q-one = Does one night without the brace matter?
expect-nights-a-one = One night with a fever does not undo the work. Put it on again the next night. If it has been off for longer, ring us.
expect-nights-q-long = How long does this go on?
expect-nights-a-long = Until your child is about four or five, as we have planned it with you. The foot grows fast in these years, and that is when it turns back.
expect-nights-q-shoes = Which shoes may our child wear by day?
expect-nights-a-shoes = Any shoes that fit. Bare feet are good too.

# A habit
expect-habit-title = { $name }: making the brace a habit
expect-habit-why = A brace that belongs to bedtime like the pyjamas is not fought over. A habit takes some weeks, and then it carries you.
expect-habit-same = The same order every evening: wash, pyjamas, brace, song, bed. Children like to know what comes next.
expect-habit-calm = Be calm and sure. Children read in your face whether something is all right.
expect-habit-choice = Do not ask whether, ask which: which socks, which song, left boot first or right. So your child has a say.
expect-habit-praise = Praise what went well, and do not talk long about what did not.
expect-habit-others = Brothers and sisters can help: hold the sock, put a boot on a doll, sing the song.
expect-habit-nursery = Show the people at the nursery how the brace goes on, and give them our letter. Naps count as well.
expect-habit-hard = If the brace is fought over for more than a week, ring us. Often something presses or is too small, and we can mend that.
expect-habit-q-takes-off = Our child has learned to open the straps. What now?
expect-habit-a-takes-off = Many do. Put long socks or a sleeping bag over the boots, and praise the nights on which they stay shut. Ring us if it does not help.

# Growing out of boots
expect-boots-title = { $name }: growing out of the boots
expect-boots-why = A baby's foot grows about three millimetres a month, so the first boots last only some months. Later they last longer.
expect-boots-sign = Look at the toes: if they curl over the end of the boot, it is too small. Other signs are marks on the toes or a heel that comes up.
expect-boots-early = Ring us when the toes come near the edge, and not only when they are over it. A new pair can take some weeks to arrive.
expect-boots-meanwhile = Until it is here, go on with the old pair, unless the skin is sore or we have told you something else. Nights without a brace do more harm than tight toes.
expect-boots-bar = The bar grows too: it should be as wide as the shoulders. We measure that at each visit.

# Troubles
expect-troubles-title = { $name }: when the brace is difficult
expect-troubles-why = Nearly every family has a hard time with the brace once. It helps to look for the cause before trying harder.
expect-troubles-heel = The heel comes up: bend the knee, push the heel down, and close the middle strap first and firmly.
expect-troubles-red = Red marks: take the boots off for half an hour. Marks that fade only need watching. If they do not fade, ring us.
expect-troubles-blister = A blister or open skin: leave the boot off that foot, do not open the blister, and come on the same day.
expect-troubles-cry = Crying in the brace: look at toes, heel and skin first. If all is well, hold and comfort your child in the brace.
expect-troubles-hours = Too few hours: go back to the hours that worked. Add an hour every few nights.
expect-troubles-lost = A lost screw or a broken strap: ring us on the same day, so that no night is lost.
expect-troubles-together = Tell us also when you feel that you cannot go on. We know how hard it is, and we look for a way with you.

# Turning back
expect-back-title = { $name }: signs that the foot is turning back
expect-back-why = Some feet turn back, also with the best care. Seen early, a few casts often put it right. So please look, and come when you are in doubt.
expect-back-heel = The heel no longer touches the floor, or your child begins to walk on the toes.
expect-back-brace = The heel no longer goes down into the boot, although it did before.
expect-back-in = The front of the foot turns in, or the sole looks inward when your child lifts the foot in walking.
expect-back-edge = Shoes wear out on the outer edge.
expect-back-squat = Your child cannot squat with both heels on the floor.
expect-back-do = If you see one of these, ring us. You need not be sure: looking is our part.
expect-back-q-fault = Is it our fault?
expect-back-a-fault = No. The pull to turn back is in the foot. The brace holds against it as well as it can.

# The last year
expect-last-title = { $name }: the last year of the brace
expect-last-why = The end is near. The foot grows more slowly now, and it turns back less often from year to year.
expect-last-hold = Keep the nights as they are until the last one. We decide on the end together, when we have looked at the foot.
expect-last-after = Afterwards we still look at the foot now and then, because a few feet turn back after the brace.
expect-last-proud = Your child, and you, have done this for years. Be proud of it.
