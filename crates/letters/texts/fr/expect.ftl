# Awaits review by a clinician who speaks this language.
# What to expect, a sheet for each stage.
expect-questions-head = Ce que les parents demandent souvent

# First casts
expect-casts-title = { $name } : les premiers plâtres
expect-casts-why = Un pied bot est tourné vers l’intérieur et vers le bas, parce que les parties molles du côté intérieur et à l’arrière sont courtes. Chez un bébé, elles s’étirent encore bien.
expect-casts-how = Une fois par semaine, nous bougeons doucement le pied aussi loin qu’il va, et un plâtre le tient là. Pendant la semaine, les parties molles grandissent jusqu’à la nouvelle longueur.
expect-casts-many = Pour la plupart des pieds, il faut quelques semaines de plâtres. À chaque consultation, nous comptons des signes sur le pied, pour que vous voyiez où il en est.
expect-casts-feel = Bouger le pied ne fait pas mal. Beaucoup de bébés pleurent parce qu’on les tient, et s’arrêtent quand ils boivent.
expect-casts-home = À la maison, vous regardez les orteils, vous gardez le plâtre au sec et vous continuez votre vie : nourrir, porter, chanter, dormir. La feuille sur le plâtre montre comment faire.
expect-casts-q-cause = Avons-nous fait quelque chose de mal ?
expect-casts-a-cause = Non. Le pied s’est tourné pendant que votre bébé grandissait dans le ventre. Rien de ce que vous avez mangé, fait ou porté n’en est la cause.
expect-casts-q-bath = Pouvons-nous baigner notre bébé ?
expect-casts-a-bath = Pas avec le plâtre : lavez avec un linge. Si nous enlevons le plâtre à la consultation, demandez-nous s’il y a le temps pour un bain.
expect-casts-q-walk = Notre enfant marchera-t-il ?
expect-casts-a-walk = Oui. Les enfants soignés de cette façon marchent, courent et jouent. Ils font souvent leurs premiers pas environ deux mois plus tard que les autres.
expect-casts-q-miss = Et si nous ne pouvons pas venir une semaine ?
expect-casts-a-miss = Appelez-nous, et nous trouverons bientôt un autre jour. Un plâtre qui reste trop longtemps peut devenir trop petit pour une jambe qui grandit.

# The day of the tenotomy
expect-cord-title = { $name } : le jour du tendon d’Achille
expect-cord-why = Les plâtres ont tourné le pied. Mais le tendon du talon (tendon d’Achille) est encore court et garde le talon en haut. Les plâtres étirent très peu ce tendon. Une petite coupure le rend assez long.
expect-cord-before = Avant : nous examinons votre enfant et son pied, et nous posons des questions sur les maladies, les allergies et les médicaments. On endort la peau du talon. Demandez-nous à quelle heure votre enfant peut boire ou manger pour la dernière fois.
expect-cord-during = Pendant : la coupure se fait par un tout petit trou et prend quelques minutes. Dites-nous si vous voulez être dans la salle ou attendre dehors. Les deux sont bien.
expect-cord-after = Après : un plâtre est posé tout de suite, avec le talon en bas. Vous pouvez prendre votre enfant dans vos bras et le nourrir. Nous surveillons votre enfant avant votre retour à la maison.
expect-cord-weeks = Ce dernier plâtre reste quelques semaines, plus longtemps que les autres, car c’est dans ce plâtre que le tendon se ressoude.
expect-cord-q-pain = Est-ce que cela fait mal ?
expect-cord-a-pain = La peau est endormie pendant la coupure. Votre enfant sera peut-être agité ce jour-là. Nous vous disons quel médicament vous pouvez donner, et combien.
expect-cord-q-strength = Le tendon d’Achille sera-t-il faible ?
expect-cord-a-strength = Chez un bébé, les deux bouts se ressoudent à la nouvelle longueur en quelques semaines. Les enfants marchent et courent avec.
expect-cord-q-blood = Y aura-t-il du sang ?
expect-cord-a-blood = Une petite tache sur le plâtre est habituelle. Si elle continue de grandir, venez aux urgences le jour même.
expect-cord-q-all = Est-ce que tous les enfants en ont besoin ?
expect-cord-a-all = La plupart oui, certains non. Cela dépend de combien le pied remonte après les plâtres.

# First week of the brace
expect-brace-title = { $name } : la première semaine de l’attelle
expect-brace-why = Le pied est à sa bonne place, mais il essaie encore de se tourner de nouveau en grandissant. L’attelle l’en empêche.
expect-brace-hours = Au début, l’attelle reste en place jour et nuit. On l’enlève pour la toilette et pour gigoter un peu librement, comme nous vous l’avons dit.
expect-brace-first-nights = Les premières nuits sont les plus dures. La plupart des enfants sont de mauvaise humeur un jour ou deux, car ils ne savent pas encore bouger une jambe sans l’autre. Ils n’ont pas mal.
expect-brace-help = Regardez d’abord la peau, pour savoir que tout va bien. Puis prenez votre enfant dans vos bras, nourrissez-le et bercez-le avec l’attelle. Pliez les deux genoux ensemble, encore et encore : les enfants apprennent vite.
expect-brace-stay = Si on enlève l’attelle chaque fois que votre enfant pleure, les pleurs durent plus longtemps. Si elle reste en place et que vous gardez votre calme, ils finissent plus tôt.
expect-brace-q-skin = Comment savoir qu’elle n’appuie pas ?
expect-brace-a-skin = Regardez les pieds chaque fois que vous enlevez les bottines. De légères marques rouges qui s’effacent sont habituelles. Si la peau est ouverte ou a une cloque, venez le jour même.
expect-brace-q-sleep = Comment notre enfant va-t-il dormir ?
expect-brace-a-sleep = Sur le dos, comme avant, ou comme nous vous l’avons dit. Laissez de la place à la barre : un sac de couchage large en bas vaut mieux qu’une couverture serrée.
expect-brace-q-hold = Pouvons-nous encore porter et nourrir notre enfant ?
expect-brace-a-hold = Oui. Laissez la barre reposer sur votre côté. Une housse en tissu doux autour de la barre protège vos bras et les meubles.

# Nights and naps
expect-nights-title = { $name } : le passage aux nuits et aux siestes
expect-nights-why = Les premiers mois sont passés. À partir de maintenant, l’attelle se porte pour dormir, et votre enfant est libre entre-temps.
expect-nights-how = Choisissez les heures pour qu’elles aillent avec votre journée : toute la nuit, et les siestes. Mettez l’attelle avant que la fatigue soit trop grande.
expect-nights-note = Notez les heures, même celles des mauvais jours. Nous nous en servons pour aider, pas pour juger.
expect-nights-danger = Maintenant le pied a l’air bien, et c’est ce qui rend ces années difficiles. La plupart des pieds qui se tournent de nouveau le font parce que les nuits sont devenues moins nombreuses, peu à peu.
expect-nights-q-one = Une nuit sans l’attelle, est-ce que cela compte ?
expect-nights-a-one = Une nuit avec de la fièvre ne défait pas le travail. Remettez l’attelle la nuit suivante. Si elle est restée enlevée plus longtemps, appelez-nous.
expect-nights-q-long = Combien de temps cela dure-t-il ?
expect-nights-a-long = Jusqu’à ce que votre enfant ait environ quatre ou cinq ans, comme nous l’avons prévu avec vous. Le pied grandit vite pendant ces années, et c’est alors qu’il se tourne de nouveau.
expect-nights-q-shoes = Quelles chaussures notre enfant peut-il porter le jour ?
expect-nights-a-shoes = Toutes les chaussures à sa taille. Les pieds nus, c’est bien aussi.

# A habit
expect-habit-title = { $name } : faire de l’attelle une habitude
expect-habit-why = On ne se bat pas contre une attelle qui fait partie du coucher, comme le pyjama. Une habitude prend quelques semaines, et ensuite c’est elle qui vous porte.
expect-habit-same = Le même ordre chaque soir : se laver, pyjama, attelle, chanson, lit. Les enfants aiment savoir ce qui vient après.
expect-habit-calm = Montrez du calme et de l’assurance. Les enfants lisent sur votre visage si tout va bien.
expect-habit-choice = Ne demandez pas « veux-tu », demandez « lequel » : quelles chaussettes, quelle chanson, d’abord la bottine gauche ou la droite. Ainsi, votre enfant a son mot à dire.
expect-habit-praise = Félicitez pour ce qui s’est bien passé, et ne parlez pas longtemps du reste.
expect-habit-others = Les frères et sœurs peuvent aider : tenir la chaussette, mettre une bottine à une poupée, chanter la chanson.
expect-habit-nursery = Montrez aux personnes de la crèche comment mettre l’attelle, et donnez-leur notre lettre. Les siestes comptent aussi.
expect-habit-hard = Si l’on se bat autour de l’attelle pendant plus d’une semaine, appelez-nous. Souvent, quelque chose appuie ou est trop petit, et nous pouvons arranger cela.
expect-habit-q-takes-off = Notre enfant a appris à ouvrir les sangles. Que faire ?
expect-habit-a-takes-off = Beaucoup le font. Mettez de longues chaussettes ou un sac de couchage par-dessus les bottines, et félicitez pour les nuits où elles restent fermées. Appelez-nous si cela n’aide pas.

# Growing out of boots
expect-boots-title = { $name } : quand les bottines deviennent trop petites
expect-boots-why = Le pied d’un bébé grandit d’environ trois millimètres par mois. Les premières bottines ne durent donc que quelques mois. Plus tard, elles durent plus longtemps.
expect-boots-sign = Regardez les orteils : s’ils se plient par-dessus le bout de la bottine, elle est trop petite. D’autres signes sont des marques sur les orteils ou un talon qui remonte.
expect-boots-early = Appelez-nous quand les orteils approchent du bord, et pas seulement quand ils le dépassent. Une nouvelle paire peut mettre quelques semaines à arriver.
expect-boots-meanwhile = En attendant, continuez avec l’ancienne paire, sauf si la peau est abîmée ou si nous vous avons dit autre chose. Les nuits sans attelle font plus de mal que des orteils serrés.
expect-boots-bar = La barre grandit aussi : elle doit être aussi large que les épaules. Nous mesurons cela à chaque consultation.

# Troubles
expect-troubles-title = { $name } : quand l’attelle est difficile
expect-troubles-why = Presque toutes les familles ont un jour une période dure avec l’attelle. Il est utile de chercher la cause avant d’insister davantage.
expect-troubles-heel = Le talon remonte : pliez le genou, poussez le talon vers le bas, fermez d’abord la sangle du milieu et serrez-la bien.
expect-troubles-red = Des marques rouges : enlevez les bottines pendant une demi-heure. Les marques qui s’effacent sont seulement à surveiller. Si elles ne s’effacent pas, appelez-nous.
expect-troubles-blister = Une cloque ou une peau ouverte : ne mettez pas la bottine à ce pied, n’ouvrez pas la cloque, et venez le jour même.
expect-troubles-cry = Des pleurs dans l’attelle : regardez d’abord les orteils, le talon et la peau. Si tout va bien, prenez votre enfant dans vos bras et consolez-le dans l’attelle.
expect-troubles-hours = Trop peu d’heures : revenez aux heures qui allaient bien. Ajoutez une heure, puis encore une après quelques nuits, et ainsi de suite.
expect-troubles-lost = Une vis perdue ou une sangle cassée : appelez-nous le jour même, pour ne perdre aucune nuit.
expect-troubles-together = Dites-nous aussi quand vous sentez que vous n’en pouvez plus. Nous savons combien c’est dur, et nous cherchons une solution avec vous.

# Turning back
expect-back-title = { $name } : les signes que le pied se tourne de nouveau
expect-back-why = Certains pieds se tournent de nouveau, même avec les meilleurs soins. Si on le voit tôt, quelques plâtres suffisent souvent. Alors regardez, s’il vous plaît, et venez en cas de doute.
expect-back-heel = Le talon ne touche plus le sol, ou votre enfant commence à marcher sur la pointe des pieds.
expect-back-brace = Le talon ne descend plus dans la bottine, alors qu’il descendait avant.
expect-back-in = L’avant du pied se tourne vers l’intérieur, ou la plante regarde vers l’intérieur quand votre enfant lève le pied en marchant.
expect-back-edge = Les chaussures s’usent sur le bord extérieur.
expect-back-squat = Votre enfant ne peut pas s’accroupir avec les deux talons au sol.
expect-back-do = Si vous voyez l’un de ces signes, appelez-nous. Pas besoin d’en avoir la certitude : regarder, c’est notre part.
expect-back-q-fault = Est-ce notre faute ?
expect-back-a-fault = Non. La force qui tourne le pied de nouveau est dans le pied lui-même. L’attelle la retient aussi bien qu’elle peut.

# The last year
expect-last-title = { $name } : la dernière année de l’attelle
expect-last-why = La fin est proche. Le pied grandit maintenant plus lentement, et il se tourne de nouveau moins souvent d’année en année.
expect-last-hold = Gardez les nuits comme elles sont jusqu’à la dernière. Nous décidons de la fin ensemble, après avoir regardé le pied.
expect-last-after = Ensuite, nous regardons encore le pied de temps en temps, car quelques pieds se tournent de nouveau après l’attelle.
expect-last-proud = Votre enfant, et vous, l’avez fait pendant des années. Il y a de quoi être fier.
