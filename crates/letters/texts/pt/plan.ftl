# Awaits review by a clinician who speaks this language.
plan-title = Plano para { $name }
plan-urgent = Precisamos ver a criança agora. Por favor, venha assim que puder, e ligue para nós se não puder.
plan-way-head = Em que ponto do caminho estamos
plan-after-operation = A criança passou por uma operação. O que vem agora é planejado só para ela; vamos falar sobre isso com você, passo a passo.

# What a step means.
here-first-visit = Na primeira consulta, olhamos { $feet ->
    [left] o pé esquerdo
    [right] o pé direito
   *[both] os dois pés
  } e conversamos com você. Quase sempre o primeiro gesso é colocado nesse dia.
here-casts = { $feet ->
    [left] O pé esquerdo está
    [right] O pé direito está
   *[both] Os dois pés estão
  } no gesso. Cada gesso novo segura o pé um pouco mais perto do lugar certo.
here-casts-again = { $feet ->
    [left] O pé esquerdo voltou
    [right] O pé direito voltou
   *[both] Os dois pés voltaram
  } a entortar um pouco. Isto acontece com muitas crianças. Alguns poucos gessos levam o pé outra vez para o seu lugar.
here-heel-cord = O tendão de Aquiles, no calcanhar { $feet ->
    [left] do pé esquerdo
    [right] do pé direito
   *[both] dos dois pés
  }, ainda é curto demais e não deixa o calcanhar descer. Um pequeno corte deixa o tendão mais comprido. Primeiro a pele é anestesiada, e o tendão volta a se unir dentro do último gesso.
here-last-cast = { $feet ->
    [left] O pé esquerdo está
    [right] O pé direito está
   *[both] Os dois pés estão
  } no último gesso. Enquanto o gesso está no lugar, o tendão de Aquiles cicatriza com o novo comprimento. Depois vem a órtese.
here-brace-day-and-night = { $feet ->
    [left] O pé esquerdo chegou
    [right] O pé direito chegou
   *[both] Os dois pés chegaram
  } ao lugar certo. Agora a órtese mantém o que os gessos fizeram. Nos primeiros meses, ela é usada de dia e de noite.
here-brace-at-night = A criança usa a órtese para dormir. O pé ainda tenta voltar a entortar enquanto cresce. Por isso, as noites são tão importantes como antes.
here-after-brace = Os anos com a órtese acabaram. Ainda olhamos { $feet ->
    [left] o pé esquerdo
    [right] o pé direito
   *[both] os dois pés
  } de vez em quando. Fazemos isso porque alguns pés voltam a entortar mais tarde, e é fácil ajudar quando o vemos cedo.

plan-dates-head = Próximas datas
plan-date-between = A próxima consulta deve ser entre { $from } e { $to }. Vamos combinar o dia com você.
plan-date-now = Está na hora de uma consulta para a criança. Ligue para nós, e combinamos o próximo dia livre.
plan-date-open = Vamos dar a próxima data antes de você ir embora.

visit-first = Primeira consulta
visit-cast = Gesso novo
visit-heel-cord = Tendão de Aquiles
visit-brace-fitting = Tirar o gesso, colocar a órtese
visit-brace-review = Consulta de acompanhamento com a órtese
visit-review = Consulta de acompanhamento

# The next visit.
plan-next-head = Na próxima consulta
next-first = Olhamos a criança e os pés, explicamos o que vemos e respondemos às suas perguntas. Leve todo o tempo que precisar.
next-cast = Tiramos o gesso, lavamos a perna, olhamos o pé e o movemos com cuidado. Depois é colocado um gesso novo. Não dói, mas a criança talvez não goste que a segurem quieta.
next-cast-off = Deixe o gesso no lugar até chegar aqui, a não ser que nós tenhamos pedido para tirar. Um pé sem gesso começa a voltar a entortar em poucas horas.
next-heel-cord = A pele do calcanhar é anestesiada, e o tendão de Aquiles é cortado através de um furo muito pequeno. Isso leva alguns minutos. Não precisa de pontos.
next-heel-cord-after = Logo em seguida é colocado um gesso. Pouco depois você pode pegar a criança no colo e alimentá-la. Observamos a criança por um tempo antes de vocês irem para casa.
next-brace-fitting = O último gesso é tirado, e olhamos o pé. Depois ajustamos as botas e a barra.
next-brace-learn = Antes de ir embora, você vai colocar a órtese com as suas próprias mãos, para saber que consegue fazer isso em casa.
next-brace-review = Olhamos os pés e a pele, vemos se as botas e a barra ainda servem e conversamos sobre como vão as noites.
next-review = Olhamos como os pés cresceram e como a criança se move.

bring-feed = Traga alguma coisa para a criança mamar ou beber: enquanto bebe, ela fica quieta, e o gesso fica melhor.
bring-papers = Traga a carta do seu médico e a caderneta ou o cartão de saúde da criança, para sabermos o que foi feito antes.
bring-loose-clothes = Traga calças largas ou uma manta que passe por cima do gesso.
bring-feeding-times = Antes desse dia, pergunte-nos a que horas a criança pode mamar ou comer pela última vez. Isso depende do remédio que for usado.
bring-two = Se puder, venha com outra pessoa: uma segura a criança, a outra ouve o que dizemos.
bring-socks = Traga dois pares de meias de algodão lisas, porque as costuras esfregam na pele.
bring-everybody = Traga todas as pessoas que vão colocar a órtese em casa, para que todas façam do mesmo jeito.
bring-brace = Traga a órtese, para podermos verificar como fica nos pés.
bring-hours = Traga a folha onde anota as horas, também as dos dias ruins. Ela nos ajuda a ajudar você; aqui ninguém é repreendido.
bring-questions = Escreva as suas perguntas quando se lembrar delas e traga a lista.

# The hours.
hours-head = Horas com a órtese
hours-now = { $hours ->
    [one] Agora: { $hours } hora por dia.
    [many] Agora: { $hours } de horas por dia.
   *[other] Agora: { $hours } horas por dia.
  }
hours-later-from = Mais tarde: { $hours ->
    [one] { $hours } hora
    [many] { $hours } de horas
   *[other] { $hours } horas
  } por dia, para as noites e as sonecas. Planejamos isto a partir de { $day }, se o pé estiver bem.
hours-later = Mais tarde: { $hours ->
    [one] { $hours } hora
    [many] { $hours } de horas
   *[other] { $hours } horas
  } por dia, para as noites e as sonecas. Vamos dizer quando.
hours-until = A órtese está planejada até mais ou menos { $day }.
hours-why = São as horas que seguram o pé: os pés que têm as suas horas raramente voltam a entortar.

# What to look at.
plan-daily-head = Olhe isto todos os dias
daily-toes = Dedos do pé: dá para ver todos, estão rosados e quentes? Isto mostra que o gesso não está apertado demais.
daily-cast-dry = Gesso: está seco e limpo? Um gesso molhado fica mole e machuca a pele.
daily-cast-soft = Bordas: a pele está bem em cima e junto aos dedos? Então nada esfrega.
daily-heel = Calcanhar: está embaixo e na parte de trás da bota? Só assim a órtese segura o pé.
daily-skin = Pele: olhe os dois pés sempre que tirar as botas. Marcas vermelhas leves que desaparecem são normais.
daily-toe-edge = Dedos do pé: passam da ponta da bota? Então ela em breve vai ficar pequena demais.
daily-walk = Andar: a criança anda com o pé todo no chão?
daily-heel-touches = Calcanhar: toca o chão quando a criança fica de cócoras?

# What is likely.
likely-head = O que esperamos
likely-casts = { $foot ->
    [left] Pé esquerdo
   *[right] Pé direito
  }: em cerca de { $children } de cada 10 crianças com um pé como este, { $from ->
    [0] não é preciso mais nenhum gesso, ou são precisos até { $to }.
    [one] são precisos mais { $from } a { $to } gessos.
    [many] são precisos mais { $from } a { $to } gessos.
   *[other] são precisos mais { $from } a { $to } gessos.
  }
likely-heel-cord = { $foot ->
    [left] Pé esquerdo
   *[right] Pé direito
  }: o pequeno corte do tendão de Aquiles é preciso em cerca de { $children } de cada 10 crianças com um pé como este. Podem ser { $low } ou { $high } de cada 10; não conseguimos saber isso com mais exatidão.
likely-not-promise = Cada criança é diferente. Isto é o que aconteceu com outras crianças, e não é uma promessa.
