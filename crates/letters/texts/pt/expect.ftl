# Awaits review by a clinician who speaks this language.
# What to expect, a sheet for each stage.
expect-questions-head = O que os pais e as mães costumam perguntar

# First casts
expect-casts-title = { $name }: os primeiros gessos
expect-casts-why = Um pé torto (pé boto) está virado para dentro e para baixo, porque as partes moles do lado de dentro e de trás são curtas. Em um bebê, elas ainda esticam bem.
expect-casts-how = Uma vez por semana, movemos o pé com cuidado até onde ele vai, e um gesso o segura aí. Durante a semana, as partes moles crescem até o novo comprimento.
expect-casts-many = A maioria dos pés precisa de algumas semanas de gessos. Em cada consulta, contamos sinais no pé, para você ver quanto ele já avançou.
expect-casts-feel = Mover o pé não dói. Muitos bebês choram porque os seguram, e param quando mamam ou bebem.
expect-casts-home = Em casa, você olha os dedos do pé, mantém o gesso seco e continua com a sua vida: alimentar, carregar, cantar, dormir. A folha do gesso mostra como.
expect-casts-q-cause = Nós fizemos algo errado?
expect-casts-a-cause = Não. O pé virou enquanto o seu bebê crescia na barriga. Nada do que você comeu, fez ou carregou causou isso.
expect-casts-q-bath = Podemos dar banho no nosso bebê?
expect-casts-a-bath = Com o gesso, não: lave com um pano. Se tirarmos o gesso na consulta, pergunte-nos se há tempo para um banho.
expect-casts-q-walk = A nossa criança vai andar?
expect-casts-a-walk = Sim. As crianças tratadas deste modo andam, correm e brincam. Muitas vezes dão os primeiros passos cerca de dois meses mais tarde do que as outras.
expect-casts-q-miss = E se não pudermos vir uma semana?
expect-casts-a-miss = Ligue para nós, e achamos logo outro dia. Um gesso que fica tempo demais pode ser pequeno para uma perna que cresce.

# The day of the tenotomy
expect-cord-title = { $name }: o dia do tendão de Aquiles
expect-cord-why = Os gessos viraram o pé. Mas o tendão do calcanhar (tendão de Aquiles) ainda é curto e mantém o calcanhar em cima. Os gessos esticam o tendão muito pouco. Um pequeno corte o deixa comprido o bastante.
expect-cord-before = Antes: examinamos a criança e o pé, e perguntamos sobre doenças, alergias e remédios. A pele do calcanhar é anestesiada. Pergunte-nos a que horas a criança pode mamar ou comer pela última vez.
expect-cord-during = Durante: o corte é feito através de um furo muito pequeno e leva alguns minutos. Diga se quer ficar na sala ou esperar do lado de fora. As duas coisas estão certas.
expect-cord-after = Depois: é colocado logo um gesso, com o calcanhar embaixo. Você pode pegar a criança no colo e alimentá-la. Observamos a criança antes de vocês irem para casa.
expect-cord-weeks = Este último gesso fica algumas semanas, mais tempo do que os outros, porque é dentro dele que o tendão se une.
expect-cord-q-pain = Dói?
expect-cord-a-pain = A pele fica dormente durante o corte. A criança pode ficar agitada nesse dia. Nós dizemos que remédio você pode dar e quanto.
expect-cord-q-strength = O tendão de Aquiles vai ficar fraco?
expect-cord-a-strength = Em um bebê, as duas pontas se unem com o novo comprimento em algumas semanas. As crianças andam e correm com ele.
expect-cord-q-blood = Vai ter sangue?
expect-cord-a-blood = Uma pequena mancha no gesso é normal. Se ela continuar a crescer, venha à urgência no mesmo dia.
expect-cord-q-all = Todas as crianças precisam disto?
expect-cord-a-all = A maioria precisa, algumas não. Depende de quanto o pé sobe depois dos gessos.

# First week of the brace
expect-brace-title = { $name }: a primeira semana da órtese
expect-brace-why = O pé está no lugar certo, mas ainda tenta voltar a entortar enquanto cresce. A órtese não deixa.
expect-brace-hours = No começo, a órtese fica de dia e de noite. É tirada para lavar a criança e para ela mexer um pouco as pernas livres, como nós explicamos.
expect-brace-first-nights = As primeiras noites são as mais difíceis. A maioria das crianças fica irritada por um ou dois dias, porque ainda não consegue mover uma perna sem a outra. Elas não têm dor.
expect-brace-help = Olhe primeiro a pele, para saber que tudo está bem. Depois pegue a criança no colo, alimente e embale, com a órtese posta. Dobre os dois joelhos juntos, muitas e muitas vezes: as crianças aprendem isso depressa.
expect-brace-stay = Se a órtese for tirada sempre que a criança chora, o choro dura mais. Se ela ficar no lugar e você mantiver a calma, ele acaba mais cedo.
expect-brace-q-skin = Como sabemos que ela não aperta?
expect-brace-a-skin = Olhe os pés sempre que tirar as botas. Marcas vermelhas leves que desaparecem são normais. Se a pele estiver aberta ou tiver uma bolha, venha no mesmo dia.
expect-brace-q-sleep = Como a nossa criança vai dormir?
expect-brace-a-sleep = De barriga para cima, como antes, ou como nós explicamos. Dê espaço para a barra: um saco de dormir largo embaixo é melhor do que uma manta apertada.
expect-brace-q-hold = Ainda podemos carregar e alimentar a nossa criança?
expect-brace-a-hold = Sim. Deixe a barra descansar de um lado do seu corpo. Uma capa de pano macio em volta da barra poupa os seus braços e os móveis.

# Nights and naps
expect-nights-title = { $name }: a mudança para noites e sonecas
expect-nights-why = Os primeiros meses já passaram. A partir de agora, a órtese é usada para dormir, e a criança fica livre no resto do tempo.
expect-nights-how = Escolha as horas de modo que combinem com o seu dia: a noite toda e as sonecas. Coloque a órtese antes que a criança fique com sono demais.
expect-nights-note = Anote as horas, também as dos dias ruins. Nós as usamos para ajudar, e não para julgar.
expect-nights-danger = Agora o pé parece bem, e é isso que torna estes anos difíceis. A maioria dos pés que voltam a entortar faz isso porque as noites foram ficando menos, pouco a pouco.
expect-nights-q-one = Uma noite sem a órtese faz diferença?
expect-nights-a-one = Uma noite com febre não desfaz o trabalho. Coloque a órtese outra vez na noite seguinte. Se a criança ficou mais tempo sem ela, ligue para nós.
expect-nights-q-long = Quanto tempo isto dura?
expect-nights-a-long = Até a criança ter cerca de quatro ou cinco anos, como planejamos com você. O pé cresce depressa nestes anos, e é então que ele volta a entortar.
expect-nights-q-shoes = Que sapatos a nossa criança pode usar de dia?
expect-nights-a-shoes = Quaisquer sapatos que sirvam bem. Pés descalços também são bons.

# A habit
expect-habit-title = { $name }: fazer da órtese um hábito
expect-habit-why = Ninguém briga com uma órtese que faz parte da hora de dormir, como o pijama. Um hábito leva algumas semanas, e depois é ele que ajuda você a seguir.
expect-habit-same = A mesma ordem todas as noites: lavar-se, pijama, órtese, música, cama. As crianças gostam de saber o que vem a seguir.
expect-habit-calm = Mostre calma e segurança. As crianças leem no seu rosto se está tudo bem.
expect-habit-choice = Não pergunte se quer, pergunte qual: que meias, que música, primeiro a bota esquerda ou a direita. Assim a criança também decide.
expect-habit-praise = Elogie o que deu certo, e não fale muito do que não deu.
expect-habit-others = Os irmãos e as irmãs podem ajudar: segurar a meia, calçar uma bota em um boneco, cantar a música.
expect-habit-nursery = Mostre às pessoas da creche como se coloca a órtese e entregue a nossa carta. As sonecas também contam.
expect-habit-hard = Se houver briga por causa da órtese por mais de uma semana, ligue para nós. Muitas vezes algo aperta ou está pequeno demais, e isso podemos resolver.
expect-habit-q-takes-off = A nossa criança aprendeu a abrir as tiras. E agora?
expect-habit-a-takes-off = Muitas aprendem. Ponha meias compridas ou um saco de dormir por cima das botas, e elogie as noites em que elas ficam fechadas. Ligue para nós se isso não ajudar.

# Growing out of boots
expect-boots-title = { $name }: quando as botas ficam pequenas
expect-boots-why = O pé de um bebê cresce cerca de três milímetros por mês. Por isso, as primeiras botas duram só alguns meses. Mais tarde, elas duram mais.
expect-boots-sign = Olhe os dedos do pé: se eles se dobram por cima da ponta da bota, ela está pequena demais. Outros sinais são marcas nos dedos ou um calcanhar que sobe.
expect-boots-early = Ligue para nós quando os dedos chegarem perto da borda, e não só quando já passarem dela. Um par novo pode levar algumas semanas para chegar.
expect-boots-meanwhile = Até ele chegar, continue com o par antigo, a não ser que a pele esteja machucada ou que nós tenhamos dito outra coisa. Noites sem órtese fazem mais mal do que dedos apertados.
expect-boots-bar = A barra também cresce: ela deve ser tão larga como os ombros. Medimos isso em cada consulta.

# Troubles
expect-troubles-title = { $name }: quando a órtese é difícil
expect-troubles-why = Quase todas as famílias passam alguma vez por um tempo difícil com a órtese. Ajuda procurar a causa antes de insistir mais.
expect-troubles-heel = O calcanhar sobe: dobre o joelho, empurre o calcanhar para baixo e feche primeiro a tira do meio, com firmeza.
expect-troubles-red = Marcas vermelhas: tire as botas por meia hora. As marcas que desaparecem só precisam de atenção. Se elas não desaparecerem, ligue para nós.
expect-troubles-blister = Uma bolha ou pele aberta: não ponha a bota nesse pé, não fure a bolha e venha no mesmo dia.
expect-troubles-cry = Choro com a órtese: olhe primeiro os dedos do pé, o calcanhar e a pele. Se tudo estiver bem, pegue no colo e console a criança com a órtese posta.
expect-troubles-hours = Horas de menos: volte às horas que davam certo. Acrescente uma hora a cada poucas noites.
expect-troubles-lost = Um parafuso perdido ou uma tira partida: ligue para nós no mesmo dia, para não se perder nenhuma noite.
expect-troubles-together = Diga também quando sentir que não aguenta mais. Sabemos como é difícil, e procuramos um jeito com você.

# Turning back
expect-back-title = { $name }: sinais de que o pé está voltando a entortar
expect-back-why = Alguns pés voltam a entortar, mesmo com os melhores cuidados. Quando se vê cedo, uns poucos gessos muitas vezes resolvem. Por isso, por favor, olhe, e venha se tiver dúvida.
expect-back-heel = O calcanhar já não toca o chão, ou a criança começa a andar na ponta dos pés.
expect-back-brace = O calcanhar já não desce dentro da bota, embora antes descesse.
expect-back-in = A parte da frente do pé vira para dentro, ou a sola olha para dentro quando a criança levanta o pé ao andar.
expect-back-edge = Os sapatos gastam na borda de fora.
expect-back-squat = A criança não consegue ficar de cócoras com os dois calcanhares no chão.
expect-back-do = Se você vir um destes sinais, ligue para nós. Não precisa ter certeza: olhar é a nossa parte.
expect-back-q-fault = A culpa é nossa?
expect-back-a-fault = Não. A força que faz o pé voltar a entortar está no próprio pé. A órtese segura contra ela o melhor que pode.

# The last year
expect-last-title = { $name }: o último ano da órtese
expect-last-why = O fim está perto. Agora o pé cresce mais devagar, e a cada ano volta a entortar com menos frequência.
expect-last-hold = Mantenha as noites como estão até a última. Decidimos o fim em conjunto, depois de olharmos o pé.
expect-last-after = Depois ainda olhamos o pé de vez em quando, porque uns poucos pés voltam a entortar depois da órtese.
expect-last-proud = A criança, e você, fizeram isto durante anos. Tenham orgulho disso.
