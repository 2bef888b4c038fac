# Awaits review by a clinician who speaks this language.
brace-title = { $name } e a órtese
brace-what = A órtese são duas botas presas a uma barra. Ela não move o pé. Ela mantém o que os gessos fizeram, enquanto o pé cresce.
brace-both-feet = Os dois pés ficam nela, também um pé que nunca foi virado para dentro: a barra precisa dos dois para segurar um.

brace-on-knee = Dobre o joelho. Assim o calcanhar desce com mais facilidade.
brace-on-heel = Empurre o pé para trás até o calcanhar ficar embaixo. Dá para ver o calcanhar na parte de trás da bota.
brace-on-middle = Feche primeiro a tira do meio, a que passa sobre o tornozelo, e feche-a com firmeza. É ela que segura o calcanhar.
brace-on-others = Depois feche as outras tiras. Basta que fiquem ajustadas.
brace-on-check = Puxe a perna com cuidado. Se o calcanhar subir, abra as tiras e comece de novo.

brace-settings-head = Como está ajustada para a criança
brace-hours = Horas
brace-hours-yours = { $hours ->
    [one] { $hours } hora por dia
    [many] { $hours } de horas por dia
   *[other] { $hours } horas por dia
  }
brace-hours-usual = { $hours ->
    [one] { $hours } hora por dia, como é costume aqui
    [many] { $hours } de horas por dia, como é costume aqui
   *[other] { $hours } horas por dia, como é costume aqui
  }
brace-bar = Barra
brace-bar-mm = { $mm } mm
brace-turned-out = { $foot ->
    [left] Bota esquerda virada para fora
   *[right] Bota direita virada para fora
  }
brace-degrees = { $deg }°
brace-size = { $foot ->
    [left] Bota esquerda
   *[right] Bota direita
  }
brace-size-is = tamanho { $size }
brace-size-mm = { $mm } mm de comprimento por dentro
brace-settings-leave = Por favor, deixe a barra e o ângulo das botas como nós ajustamos. Se algo parecer errado, ligue para nós: um ajuste errado pode machucar o pé.

brace-every-day-head = Todos os dias
brace-day-routine = Coloque a órtese à mesma hora todos os dias, com a mesma música ou história. As crianças se acalmam melhor com o que conhecem.
brace-day-socks = Use meias de algodão lisas e sem dobras, porque as dobras esfregam na pele.
brace-day-skin = Olhe a pele quando tirar as botas. Marcas vermelhas leves que desaparecem são normais.
brace-day-no-cream = Não passe creme na pele vermelha: o creme amolece a pele, e então ela abre com mais facilidade.
brace-day-together = Mexa as duas pernas juntas e brinque com a barra. Assim a criança aprende a chutar com as duas pernas ao mesmo tempo.
brace-day-no-walker = Não use andadores nem saltadores de bebê com a órtese, porque eles empurram os dedos do pé para baixo.

brace-first-head = Os primeiros dias
brace-first-days = A maioria das crianças fica irritada por um ou dois dias. Elas não têm dor: têm que aprender a mexer as duas pernas ao mesmo tempo. Olhe a pele, console a criança e deixe a órtese no lugar.
brace-first-hold = Cada vez que ela fica no lugar, fica mais fácil. Se as noites continuarem difíceis, ligue para nós. Você não precisa dar conta disto sem ajuda.

# What the drawing shows, for those who hear the page.
drawing-heel-and-straps = Desenho: uma bota vista de lado, o calcanhar embaixo na parte de trás, e três tiras, das quais a do meio é fechada primeiro
