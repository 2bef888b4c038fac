# Awaits review by a clinician who speaks this language.
# Appointment letter
appointment-title = Prochaine consultation pour { $name }
appointment-when = Venez, s’il vous plaît, le { $day }.
appointment-when-time = Venez, s’il vous plaît, le { $day } à { $time }.
appointment-more-head = Autres rendez-vous
appointment-change = Si vous ne pouvez pas venir ce jour-là, appelez-nous, et nous trouverons bientôt un autre jour. Même quelques jours comptent pour le pied.
appointment-late = Si vous êtes en retard, venez quand même. Nous trouverons une solution.

# Missed-visit letter
missed-title = Nous attendions { $name }
missed-day = Vous aviez un rendez-vous chez nous le { $day }, et nous n’avons pas pu vous voir.
missed-why = Il peut y avoir de bonnes raisons : un enfant malade, pas de bus, pas d’argent pour le trajet, le travail. Dites-nous ce qui rend la venue difficile, et nous cherchons une solution avec vous.
missed-cast = Un plâtre ne devrait pas rester beaucoup plus d’une semaine. S’il est encore en place, appelez-nous aujourd’hui, pour que nous puissions le changer bientôt.
missed-brace = Le pied grandit encore et essaie de se tourner de nouveau. Nous aimerions regarder le pied et l’attelle. Si l’attelle n’est plus portée, venez quand même : on ne gronde personne.
missed-other = Nous aimerions voir comment vont les pieds.
missed-do = Appelez-nous ou venez n’importe quel jour de consultation. Vous n’avez pas besoin d’une nouvelle lettre de votre médecin.

# Letter to the nursery
nursery-title = { $name } porte une attelle
nursery-to = Aux personnes qui gardent { $name }
nursery-why = À la naissance, { $name } avait un pied tourné vers l’intérieur. Des plâtres l’ont ramené à sa place. L’attelle le tient pendant que le pied grandit.
nursery-hours-day = L’attelle se porte presque toute la journée, { $hours ->
    [one] { $hours } heure
    [many] { $hours } d’heures
   *[other] { $hours } heures
  } en tout. On ne l’enlève que pour la toilette et pour gigoter un peu librement.
nursery-hours-naps = L’attelle se porte pour dormir, { $hours ->
    [one] { $hours } heure
    [many] { $hours } d’heures
   *[other] { $hours } heures
  } par jour en tout. Mettez-la donc aussi pour la sieste, s’il vous plaît.
nursery-on-head = Comment la mettre
nursery-normal = À part cela, { $name } peut faire tout ce que font les autres enfants. Avec une attelle, les enfants s’assoient, marchent à quatre pattes et jouent.
nursery-check = Après chaque sieste, regardez la peau. De légères marques rouges qui s’effacent sont habituelles. Si la peau est ouverte, ne mettez pas la bottine et appelez tout de suite les parents.
nursery-note = Notez, s’il vous plaît, quand elle a été portée, et dites-le aux parents le soir.

# Diary of the hours
diary-title = Heures avec l’attelle : { $name }
diary-how = Chaque jour, mettez une croix dans la case avec le nombre d’heures où l’attelle a été portée. Cochez 0 si elle n’a pas été portée, et laissez la ligne vide si vous ne savez pas.
diary-wrong = Une erreur ? Remplissez toute la case et cochez la bonne.
diary-example = Exemple : { $hours } heures
diary-why = Les vraies heures nous aident à vous aider. On ne gronde personne pour une mauvaise semaine.
diary-week = Semaine à partir du { $day }
diary-hours = Heures
diary-skin = Peau en bon état ?
diary-bring = Apportez cette page à la prochaine consultation, ou envoyez-nous-en une photo.
