cast-title = { $name } and the cast
cast-what = The cast goes from the toes to the top of the leg. It holds the foot in a better place, so that the soft parts can grow that way.
cast-each = It is changed about once a week. Each time the foot comes a little further.

cast-draw-toes = All the toes can be seen. If they are pink and warm, the blood flows well.
cast-draw-knee = The knee is bent, so that the cast cannot slide down. Your child can lie and be held like this.
cast-draw-heel = Lay a rolled towel under the lower leg, so that the heel hangs free. A heel that lies on the bed gets sore.

cast-first-day-head = The first day
cast-first-toes = Look at the toes every hour until bedtime, and once in the night. If a cast is too tight, this is when it shows.
cast-first-dry = Plaster needs about a day to dry. Keep it in the open air and on something soft, so that it gets no dents.
cast-first-lift = Lift your child with a hand under the body and a hand under the cast. Do not pull on the cast.
cast-first-unsettled = Many children are restless for a day. Holding, feeding and moving them about helps.

cast-every-day-head = Every day
cast-toes-colour = Look at the toes at every feed: pink, warm, all there.
cast-pinch = Press a toe and let go. It turns white and then pink again within two seconds. If it does not, the cast may be too tight.
cast-dry = Wash your child with a cloth and keep the cast out of the bath, because water makes it soft.
cast-nappy = Put the nappy on so that its edge is outside the cast, and change it often. A wet cast makes the skin sore.
cast-nothing-inside = Put nothing into the cast, also not for an itch. A scratch under a cast can turn into a sore.
cast-carry = Carry and cuddle your child as you did before. The cast does not mind.

cast-cut-head = After the cut of the heel cord
cast-cut-stain = A small stain of blood at the heel is usual.
cast-cut-draw = Draw a line around the stain with a pen and write the time beside it. So you can see whether it grows.
cast-cut-medicine = Give the medicine for pain as we have told you. Ask us before you give any other.

cast-off-head = Taking the cast off
cast-off-clinic = We take the cast off at the visit. Leave it on until then, unless we have asked you to do it at home: a foot without a cast starts to turn back within hours.

# What the drawing shows, for those who hear the page.
drawing-leg-in-cast = Drawing: a leg in a cast with the knee bent, the toes free, and a rolled towel under the lower leg
