# Awaits review by a clinician who speaks this language.
brace-title = { $name } et l’attelle
brace-what = L’attelle, ce sont deux bottines fixées sur une barre. Elle ne fait pas bouger le pied. Elle garde ce que les plâtres ont fait, pendant que le pied grandit.
brace-both-feet = On y met les deux pieds, même un pied qui n’a jamais été tourné vers l’intérieur : la barre a besoin des deux pour en tenir un.

brace-on-knee = Pliez le genou. Le talon descend alors plus facilement.
brace-on-heel = Poussez le pied vers l’arrière jusqu’à ce que le talon soit en bas. Vous pouvez voir le talon à l’arrière de la bottine.
brace-on-middle = Fermez d’abord la sangle du milieu, celle qui passe sur la cheville, et serrez-la bien. C’est elle qui tient le talon.
brace-on-others = Fermez ensuite les autres sangles. Il suffit qu’elles soient bien ajustées.
brace-on-check = Tirez doucement sur la jambe. Si le talon remonte, ouvrez les sangles et recommencez.

brace-settings-head = Le réglage pour votre enfant
brace-hours = Heures
brace-hours-yours = { $hours ->
    [one] { $hours } heure par jour
    [many] { $hours } d’heures par jour
   *[other] { $hours } heures par jour
  }
brace-hours-usual = { $hours ->
    [one] { $hours } heure par jour, comme c’est l’habitude ici
    [many] { $hours } d’heures par jour, comme c’est l’habitude ici
   *[other] { $hours } heures par jour, comme c’est l’habitude ici
  }
brace-bar = Barre
brace-bar-mm = { $mm } mm
brace-turned-out = { $foot ->
    [left] Bottine gauche tournée vers l’extérieur
   *[right] Bottine droite tournée vers l’extérieur
  }
brace-degrees = { $deg }°
brace-size = { $foot ->
    [left] Bottine gauche
   *[right] Bottine droite
  }
brace-size-is = taille { $size }
brace-size-mm = { $mm } mm de long à l’intérieur
brace-settings-leave = Laissez la barre et l’angle des bottines comme nous les avons réglés, s’il vous plaît. Si quelque chose vous semble faux, appelez-nous : un mauvais réglage peut blesser le pied.

brace-every-day-head = Chaque jour
brace-day-routine = Mettez l’attelle chaque jour à la même heure, avec la même chanson ou la même histoire. Les enfants se calment mieux avec ce qu’ils connaissent.
brace-day-socks = Mettez des chaussettes en coton, lisses et sans plis, car les plis frottent.
brace-day-skin = Regardez la peau quand vous enlevez les bottines. De légères marques rouges qui s’effacent sont habituelles.
brace-day-no-cream = Ne mettez pas de crème sur une peau rouge : elle ramollit la peau, qui s’ouvre alors plus facilement.
brace-day-together = Bougez les deux jambes ensemble, et jouez avec la barre. Votre enfant apprend alors à gigoter des deux jambes à la fois.
brace-day-no-walker = N’utilisez pas de trotteur ni de sauteur pour bébé avec l’attelle, car ils poussent les orteils vers le bas.

brace-first-head = Les premiers jours
brace-first-days = La plupart des enfants sont de mauvaise humeur un jour ou deux. Ils n’ont pas mal : ils doivent apprendre à bouger les deux jambes à la fois. Regardez la peau, consolez votre enfant et laissez l’attelle en place.
brace-first-hold = Chaque fois qu’elle reste en place, cela devient plus facile. Si les nuits restent dures, appelez-nous. Vous n’avez pas à porter cela sans aide.

# What the drawing shows, for those who hear the page.
drawing-heel-and-straps = Dessin : une bottine vue de côté, le talon en bas à l’arrière, et trois sangles, dont celle du milieu se ferme d’abord
