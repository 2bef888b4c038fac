# Awaits review by a clinician who speaks this language.
# Whose it is.
whose-name = { $name }
whose-born = Nascimento: { $day }
whose-number = Número { $number }
whose-made = Feito em { $day }, { $clinic }

# The steps on the way.
stage-first-visit = Primeira consulta
stage-casts = Gessos
stage-heel-cord = Tendão de Aquiles
stage-last-cast = Último gesso
stage-brace-day-and-night = Órtese de dia e de noite
stage-brace-at-night = Órtese à noite
stage-after-brace = Consultas de acompanhamento

you-are-here = { $feet ->
    [left] Você está aqui: pé esquerdo
    [right] Você está aqui: pé direito
   *[both] Você está aqui
}

# Headings and labels that every document has.
emergency-head = Venha hoje mesmo à urgência (pronto-socorro) se
emergency-why = Estes sinais podem ser graves. Por isso, não espere pela próxima consulta.
ring-head = Ligue para nós se
telephone-label = Nosso telefone
telephone-blank = Escreva o número aqui:
dates-day = Dia
dates-time = Hora
dates-what = Para quê

# Signs for which the child is brought in at once.
emergency-toes = os dedos do pé estão escuros, brancos, frios ou inchados
emergency-hidden-toes = já não dá para ver os dedos do pé
emergency-skin = a pele está aberta ou tem uma bolha
emergency-fever = a criança tem febre
emergency-blood = uma mancha de sangue no gesso continua a crescer
emergency-crying = a criança chora e nada a acalma

# When to ring.
ring-cast-wet = o gesso está molhado, rachado ou mole, porque assim já não consegue segurar o pé
ring-cast-loose = o gesso escorrega para baixo ou gira, porque pode esfregar na pele e o pé pode voltar a entortar
ring-cast-smell = o gesso cheira mal ou a pele na borda está machucada
ring-red = a vermelhidão da pele não desaparece, porque pode virar uma ferida
ring-heel = o calcanhar não fica embaixo na bota, porque então a órtese não segura o pé
ring-toes-over = os dedos se dobram por cima da ponta da bota, porque está na hora de uma maior
ring-brace-off = a criança ficou uma noite sem a órtese, porque o pé pode voltar a entortar depressa
ring-brace-broken = uma tira, um parafuso ou a barra quebrou
ring-foot-turns = parece que o pé está virando outra vez para dentro, ou o calcanhar já não toca o chão
ring-cannot-come = não pode vir no dia: vamos achar logo outro dia

# This language.
language-name = Português
translation-awaits-review = Este texto é uma tradução. Ainda não foi revisto por um profissional de saúde que fale português. Se algo não estiver claro ou parecer errado, pergunte-nos.

# Named by the clinic, below the plan.
talk-to-head = Pessoas com quem podem falar
talk-to-line = { $text }
