# Awaits review by a clinician who speaks this language.
cast-title = { $name } et le plâtre
cast-what = Le plâtre va des orteils jusqu’en haut de la cuisse. Il tient le pied dans une meilleure position, pour que les parties molles puissent grandir ainsi.
cast-each = On le change environ une fois par semaine. Chaque fois, le pied avance un peu plus.

cast-draw-toes = On voit tous les orteils. S’ils sont roses et chauds, le sang circule bien.
cast-draw-knee = Le genou est plié, pour que le plâtre ne puisse pas glisser vers le bas. Votre enfant peut rester ainsi au lit et dans vos bras.
cast-draw-heel = Mettez une serviette roulée sous le mollet, pour que le talon reste en l’air. Un talon posé sur le lit s’abîme.

cast-first-day-head = Le premier jour
cast-first-toes = Regardez les orteils toutes les heures jusqu’au coucher, et une fois dans la nuit. Si un plâtre est trop serré, c’est à ce moment que cela se voit.
cast-first-dry = Le plâtre met environ un jour à sécher. Laissez-le à l’air, sans le couvrir, et sur quelque chose de mou, pour qu’il ne se creuse pas.
cast-first-lift = Soulevez votre enfant avec une main sous le corps et une main sous le plâtre. Ne tirez pas sur le plâtre.
cast-first-unsettled = Beaucoup d’enfants sont agités pendant un jour. Les prendre dans les bras, les nourrir et les changer de position aide.

cast-every-day-head = Chaque jour
cast-toes-colour = Regardez les orteils à chaque repas : roses, chauds, tous visibles.
cast-pinch = Appuyez sur un orteil et lâchez. Il devient blanc, puis rose de nouveau en deux secondes au plus. Sinon, le plâtre est peut-être trop serré.
cast-dry = Lavez votre enfant avec un linge et gardez le plâtre hors du bain, car l’eau le rend mou.
cast-nappy = Mettez la couche avec le bord à l’extérieur du plâtre, et changez-la souvent. Un plâtre mouillé abîme la peau.
cast-nothing-inside = Ne mettez rien dans le plâtre, même si cela gratte. Une égratignure sous un plâtre peut devenir une plaie.
cast-carry = Portez et câlinez votre enfant comme avant. Cela ne gêne pas le plâtre.

cast-cut-head = Après la coupure du tendon d’Achille
cast-cut-stain = Une petite tache de sang au talon est habituelle.
cast-cut-draw = Tracez un trait autour de la tache avec un stylo et écrivez l’heure à côté. Ainsi, vous verrez si elle grandit.
cast-cut-medicine = Donnez le médicament contre la douleur comme nous vous l’avons dit. Demandez-nous avant d’en donner un autre.

cast-off-head = Enlever le plâtre
cast-off-clinic = C’est nous qui enlevons le plâtre, à la consultation. Laissez-le jusque-là, sauf si nous vous avons demandé de l’enlever à la maison : un pied sans plâtre commence à se tourner de nouveau en quelques heures.

# What the drawing shows, for those who hear the page.
drawing-leg-in-cast = Dessin : une jambe dans un plâtre, le genou plié, les orteils visibles et une serviette roulée sous le mollet
