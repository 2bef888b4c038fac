# Awaits review by a clinician who speaks this language.
# Whose it is.
whose-name = { $name }
whose-born = Naissance : { $day }
whose-number = Numéro { $number }
whose-made = Fait le { $day }, { $clinic }

# The steps on the way.
stage-first-visit = Première consultation
stage-casts = Plâtres
stage-heel-cord = Tendon d’Achille
stage-last-cast = Dernier plâtre
stage-brace-day-and-night = Attelle jour et nuit
stage-brace-at-night = Attelle la nuit
stage-after-brace = Contrôles

you-are-here = { $feet ->
    [left] Vous êtes ici : pied gauche
    [right] Vous êtes ici : pied droit
   *[both] Vous êtes ici
}

# Headings and labels that every document has.
emergency-head = Venez aux urgences aujourd’hui même si
emergency-why = Ces signes peuvent être graves. N’attendez donc pas la prochaine consultation.
ring-head = Appelez-nous si
telephone-label = Notre téléphone
telephone-blank = Écrivez le numéro ici :
dates-day = Jour
dates-time = Heure
dates-what = Pour quoi

# Signs for which the child is brought in at once.
emergency-toes = les orteils sont foncés, blancs, froids ou gonflés
emergency-hidden-toes = on ne voit plus les orteils
emergency-skin = la peau est ouverte ou a une cloque
emergency-fever = votre enfant a de la fièvre
emergency-blood = une tache de sang sur le plâtre continue de grandir
emergency-crying = votre enfant pleure et rien n’arrive à l’apaiser

# When to ring.
ring-cast-wet = le plâtre est mouillé, fendu ou mou, car il ne peut plus tenir le pied
ring-cast-loose = le plâtre glisse vers le bas ou tourne, car il peut frotter et le pied peut se tourner de nouveau
ring-cast-smell = le plâtre sent mauvais ou la peau au bord est abîmée
ring-red = la rougeur de la peau ne s’efface pas, car elle peut devenir une plaie
ring-heel = le talon ne reste pas en bas dans la bottine, car alors l’attelle ne tient pas le pied
ring-toes-over = les orteils se plient par-dessus le bout de la bottine, car il est temps d’en avoir une plus grande
ring-brace-off = l’attelle n’a pas été portée pendant une nuit, car le pied peut vite se tourner de nouveau
ring-brace-broken = une sangle, une vis ou la barre est cassée
ring-foot-turns = le pied semble se tourner de nouveau vers l’intérieur, ou le talon ne touche plus le sol
ring-cannot-come = vous ne pouvez pas venir ce jour-là : nous trouverons bientôt un autre jour

# This language.
language-name = Français
translation-awaits-review = Ce texte est une traduction. Aucun soignant qui parle français ne l’a encore vérifié. Si quelque chose n’est pas clair ou vous semble faux, demandez-nous.

# Named by the clinic, below the plan.
talk-to-head = Personnes à qui vous pouvez parler
talk-to-line = { $text }
