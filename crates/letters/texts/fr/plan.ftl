# Awaits review by a clinician who speaks this language.
plan-title = Plan pour { $name }
plan-urgent = Nous avons besoin de voir votre enfant maintenant. Venez dès que vous pouvez, s’il vous plaît, et appelez-nous si vous ne pouvez pas.
plan-way-head = Où nous en sommes sur le chemin
plan-after-operation = Votre enfant a eu une opération. La suite est prévue uniquement pour votre enfant ; nous en parlerons avec vous, étape par étape.

# What a step means.
here-first-visit = À la première consultation, nous regardons { $feet ->
    [left] le pied gauche
    [right] le pied droit
   *[both] les deux pieds
  } et nous parlons avec vous. Le plus souvent, le premier plâtre est posé ce jour-là.
here-casts = { $feet ->
    [left] Le pied gauche est
    [right] Le pied droit est
   *[both] Les deux pieds sont
  } dans le plâtre. Chaque nouveau plâtre tient le pied un peu plus près de sa bonne place.
here-casts-again = { $feet ->
    [left] Le pied gauche s’est un peu tourné
    [right] Le pied droit s’est un peu tourné
   *[both] Les deux pieds se sont un peu tournés
  } de nouveau. Cela arrive à beaucoup d’enfants. Quelques plâtres ramènent le pied à sa place.
here-heel-cord = Le tendon d’Achille, au talon { $feet ->
    [left] du pied gauche
    [right] du pied droit
   *[both] des deux pieds
  }, est encore trop court pour laisser descendre le talon. Une petite coupure l’allonge. On endort d’abord la peau, et le tendon se ressoude dans le dernier plâtre.
here-last-cast = { $feet ->
    [left] Le pied gauche est
    [right] Le pied droit est
   *[both] Les deux pieds sont
  } dans le dernier plâtre. Pendant que le plâtre est en place, le tendon d’Achille guérit à sa nouvelle longueur. Ensuite vient l’attelle.
here-brace-day-and-night = { $feet ->
    [left] Le pied gauche est arrivé
    [right] Le pied droit est arrivé
   *[both] Les deux pieds sont arrivés
  } à la bonne place. Maintenant, l’attelle garde ce que les plâtres ont fait. Les premiers mois, elle se porte jour et nuit.
here-brace-at-night = Votre enfant porte l’attelle pour dormir. Le pied essaie encore de se tourner de nouveau pendant qu’il grandit. Les nuits comptent donc autant qu’avant.
here-after-brace = Les années avec l’attelle sont finies. Nous regardons encore { $feet ->
    [left] le pied gauche
    [right] le pied droit
   *[both] les deux pieds
  } de temps en temps. En effet, certains pieds se tournent de nouveau plus tard, et il est facile de les aider quand nous le voyons tôt.

plan-dates-head = Prochains rendez-vous
plan-date-between = Votre prochaine consultation devrait avoir lieu entre le { $from } et le { $to }. Nous fixerons le jour avec vous.
plan-date-now = C’est maintenant le moment d’une consultation pour votre enfant. Appelez-nous, et nous fixerons le prochain jour libre.
plan-date-open = Nous vous donnerons le prochain rendez-vous avant votre départ.

visit-first = Première consultation
visit-cast = Nouveau plâtre
visit-heel-cord = Tendon d’Achille
visit-brace-fitting = Plâtre enlevé, attelle posée
visit-brace-review = Contrôle avec l’attelle
visit-review = Contrôle

# The next visit.
plan-next-head = À la prochaine consultation
next-first = Nous regardons votre enfant et ses pieds, nous expliquons ce que nous voyons et nous répondons à vos questions. Prenez tout le temps qu’il vous faut.
next-cast = Nous enlevons le plâtre, lavons la jambe, regardons le pied et le bougeons doucement. Puis un nouveau plâtre est posé. Cela ne fait pas mal, mais votre enfant n’aimera peut-être pas qu’on le tienne sans bouger.
next-cast-off = Laissez le plâtre en place jusqu’à votre arrivée ici, sauf si nous vous avons demandé de l’enlever. Un pied sans plâtre commence à se tourner de nouveau en quelques heures.
next-heel-cord = On endort la peau du talon, et on coupe le tendon d’Achille par un tout petit trou. Cela prend quelques minutes. Il n’y a pas besoin de point de suture.
next-heel-cord-after = Un plâtre est posé tout de suite. Peu après, vous pouvez prendre votre enfant dans vos bras et le nourrir. Nous surveillons votre enfant un moment avant votre retour à la maison.
next-brace-fitting = Nous enlevons le dernier plâtre et regardons le pied. Puis nous réglons les bottines et la barre.
next-brace-learn = Avant de partir, vous mettrez l’attelle vous-même. Ainsi, vous saurez que vous pouvez le faire à la maison.
next-brace-review = Nous regardons les pieds et la peau, nous voyons si les bottines et la barre vont encore, et nous parlons de vos nuits.
next-review = Nous regardons comment les pieds ont grandi et comment votre enfant bouge.

bring-feed = Apportez de quoi donner à boire à votre enfant : un enfant qui boit reste tranquille, et le plâtre est mieux réussi.
bring-papers = Apportez la lettre de votre médecin et le carnet de santé de l’enfant, pour que nous sachions ce qui a été fait avant.
bring-loose-clothes = Apportez un pantalon large ou une couverture qui passe par-dessus le plâtre.
bring-feeding-times = Demandez-nous avant ce jour à quelle heure votre enfant peut boire ou manger pour la dernière fois. Cela dépend du médicament utilisé.
bring-two = Venez à deux si vous pouvez : une personne tient l’enfant, l’autre écoute ce que nous disons.
bring-socks = Apportez deux paires de chaussettes en coton, bien lisses, car les coutures frottent.
bring-everybody = Venez avec toutes les personnes qui mettront l’attelle à la maison, pour que toutes fassent de la même façon.
bring-brace = Apportez l’attelle, pour que nous puissions la vérifier sur les pieds.
bring-hours = Apportez la feuille où vous notez les heures, même celles des mauvais jours. Elle nous aide à vous aider ; on ne gronde personne.
bring-questions = Écrivez vos questions quand elles vous viennent, et apportez la liste.

# The hours.
hours-head = Heures avec l’attelle
hours-now = { $hours ->
    [one] Maintenant : { $hours } heure par jour.
    [many] Maintenant : { $hours } d’heures par jour.
   *[other] Maintenant : { $hours } heures par jour.
  }
hours-later-from = Plus tard : { $hours ->
    [one] { $hours } heure
    [many] { $hours } d’heures
   *[other] { $hours } heures
  } par jour, pour les nuits et les siestes. Nous prévoyons cela à partir du { $day }, si le pied va bien.
hours-later = Plus tard : { $hours ->
    [one] { $hours } heure
    [many] { $hours } d’heures
   *[other] { $hours } heures
  } par jour, pour les nuits et les siestes. Nous vous dirons quand.
hours-until = L’attelle est prévue à peu près jusqu’au { $day }.
hours-why = Ce sont les heures qui tiennent le pied : les pieds qui ont leurs heures se tournent rarement de nouveau.

# What to look at.
plan-daily-head = À regarder chaque jour
daily-toes = Orteils : les voyez-vous tous, sont-ils roses et chauds ? Cela montre que le plâtre n’est pas trop serré.
daily-cast-dry = Plâtre : est-il sec et propre ? Un plâtre mouillé devient mou et blesse la peau.
daily-cast-soft = Bords : la peau va-t-elle bien en haut et près des orteils ? Alors rien ne frotte.
daily-heel = Talon : est-il en bas et à l’arrière de la bottine ? C’est seulement ainsi que le pied est tenu.
daily-skin = Peau : regardez les deux pieds chaque fois que vous enlevez les bottines. De légères marques rouges qui s’effacent sont habituelles.
daily-toe-edge = Orteils : dépassent-ils le bout de la bottine ? Alors elle sera bientôt trop petite.
daily-walk = Marche : votre enfant marche-t-il sur tout le pied ?
daily-heel-touches = Talon : touche-t-il le sol quand votre enfant s’accroupit ?

# What is likely.
likely-head = Ce que nous attendons
likely-casts = { $foot ->
    [left] Pied gauche
   *[right] Pied droit
  } : sur 10 enfants qui ont un pied comme celui-ci, pour environ { $children } d’entre eux, { $from ->
    [0] il ne faut plus aucun plâtre, ou il en faut encore jusqu’à { $to }.
    [one] il faut encore de { $from } à { $to } plâtres.
    [many] il faut encore de { $from } à { $to } plâtres.
   *[other] il faut encore de { $from } à { $to } plâtres.
  }
likely-heel-cord = { $foot ->
    [left] Pied gauche
   *[right] Pied droit
  } : sur 10 enfants qui ont un pied comme celui-ci, il faut la petite coupure du tendon d’Achille pour environ { $children } d’entre eux. Ce pourrait être { $low } ou { $high } sur 10 ; nous ne pouvons pas le savoir plus exactement.
likely-not-promise = Chaque enfant est différent. C’est ce qui s’est passé pour d’autres enfants, et ce n’est pas une promesse.
