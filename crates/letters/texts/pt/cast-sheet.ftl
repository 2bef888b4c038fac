# Awaits review by a clinician who speaks this language.
cast-title = { $name } e o gesso
cast-what = O gesso vai dos dedos do pé até o alto da coxa. Ele segura o pé em uma posição melhor, para que as partes moles possam crescer assim.
cast-each = É trocado mais ou menos uma vez por semana. A cada vez, o pé avança um pouco mais.

cast-draw-toes = Dá para ver todos os dedos do pé. Se estão rosados e quentes, o sangue circula bem.
cast-draw-knee = O joelho fica dobrado, para o gesso não poder escorregar. A criança pode ficar assim na cama e no colo.
cast-draw-heel = Ponha uma toalha enrolada debaixo da perna, abaixo do joelho, para o calcanhar ficar no ar. Um calcanhar apoiado na cama fica machucado.

cast-first-day-head = O primeiro dia
cast-first-toes = Olhe os dedos do pé de hora em hora até a hora de dormir, e uma vez durante a noite. Se um gesso está apertado demais, é nesse tempo que se nota.
cast-first-dry = O gesso precisa de mais ou menos um dia para secar. Deixe-o descoberto, ao ar, e em cima de algo macio, para não ficar amassado.
cast-first-lift = Levante a criança com uma mão debaixo do corpo e outra debaixo do gesso. Não puxe pelo gesso.
cast-first-unsettled = Muitas crianças ficam agitadas por um dia. Pegar no colo, alimentar e mudar de posição ajuda.

cast-every-day-head = Todos os dias
cast-toes-colour = Olhe os dedos do pé sempre que alimentar a criança: rosados, quentes, todos à vista.
cast-pinch = Aperte um dedo do pé e solte. Ele fica branco e depois rosado outra vez em dois segundos, no máximo. Se não, o gesso pode estar apertado demais.
cast-dry = Lave a criança com um pano e não ponha o gesso no banho, porque a água o deixa mole.
cast-nappy = Coloque a fralda com a borda por fora do gesso e troque-a muitas vezes. Um gesso molhado machuca a pele.
cast-nothing-inside = Não ponha nada dentro do gesso, nem para coçar. Um arranhão debaixo do gesso pode virar uma ferida.
cast-carry = Carregue e abrace a criança como antes. O gesso não se importa.

cast-cut-head = Depois do corte do tendão de Aquiles
cast-cut-stain = Uma pequena mancha de sangue no calcanhar é normal.
cast-cut-draw = Faça um risco em volta da mancha com uma caneta e escreva a hora ao lado. Assim dá para ver se ela cresce.
cast-cut-medicine = Dê o remédio para a dor como nós explicamos. Pergunte-nos antes de dar qualquer outro.

cast-off-head = Tirar o gesso
cast-off-clinic = Nós tiramos o gesso na consulta. Deixe-o no lugar até lá, a não ser que nós tenhamos pedido para tirar em casa: um pé sem gesso começa a voltar a entortar em poucas horas.

# What the drawing shows, for those who hear the page.
drawing-leg-in-cast = Desenho: uma perna com gesso, o joelho dobrado, os dedos do pé à vista e uma toalha enrolada debaixo da perna
