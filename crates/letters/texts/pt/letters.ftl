# Awaits review by a clinician who speaks this language.
# Appointment letter
appointment-title = Próxima consulta para { $name }
appointment-when = Por favor, venha nesta data: { $day }.
appointment-when-time = Por favor, venha nesta data: { $day }. Hora: { $time }.
appointment-more-head = Outras datas
appointment-change = Se não puder vir nesse dia, ligue para nós, e achamos logo outro dia. Mesmo poucos dias fazem diferença para o pé.
appointment-late = Se chegar tarde, venha mesmo assim. Nós damos um jeito.

# Missed-visit letter
missed-title = Esperávamos por { $name }
missed-day = Você tinha uma consulta conosco nesta data: { $day }. Não nos vimos.
missed-why = Pode haver bons motivos: uma criança doente, falta de transporte, falta de dinheiro para a viagem, o trabalho. Diga o que torna difícil vir, e procuramos um jeito com você.
missed-cast = Um gesso não deve ficar muito mais do que uma semana. Se ele ainda está no lugar, ligue hoje para nós, para podermos trocá-lo logo.
missed-brace = O pé ainda cresce e tenta voltar a entortar. Gostaríamos de olhar o pé e a órtese. Se a órtese já não é usada, venha mesmo assim: aqui ninguém é repreendido.
missed-other = Gostaríamos de ver como estão os pés.
missed-do = Ligue para nós ou venha em qualquer dia de consulta. Não precisa de uma nova carta do seu médico.

# Letter to the nursery
nursery-title = { $name } usa uma órtese
nursery-to = Para as pessoas que cuidam de { $name }
nursery-why = { $name } nasceu com um pé virado para dentro. Os gessos o levaram para o lugar. A órtese o segura enquanto o pé cresce.
nursery-hours-day = A órtese é usada quase o dia todo, { $hours ->
    [one] { $hours } hora
    [many] { $hours } de horas
   *[other] { $hours } horas
  } no total. É tirada só para lavar a criança e para ela mexer um pouco as pernas livres.
nursery-hours-naps = A órtese é usada para dormir, { $hours ->
    [one] { $hours } hora
    [many] { $hours } de horas
   *[other] { $hours } horas
  } por dia no total. Por isso, por favor, coloquem a órtese também para a soneca.
nursery-on-head = Como se coloca
nursery-normal = Fora isso, { $name } pode fazer tudo o que as outras crianças fazem. As crianças com órtese sentam, engatinham e brincam com ela.
nursery-check = Depois de cada soneca, olhem a pele. Marcas vermelhas leves que desaparecem são normais. Se a pele estiver aberta, não coloquem a bota e liguem logo para os pais.
nursery-note = Por favor, anotem quando ela esteve posta e digam aos pais no fim do dia.

# Diary of the hours
diary-title = Horas com a órtese de { $name }
diary-how = Em cada dia, faça uma cruz no quadrado com as horas em que a órtese ficou posta. Marque 0 se não ficou, e deixe a linha vazia se não souber.
diary-wrong = Errou? Preencha todo esse quadrado e marque o certo.
diary-example = Exemplo: { $hours } horas
diary-why = As horas verdadeiras nos ajudam a ajudar você. Aqui ninguém é repreendido por uma semana ruim.
diary-week = Semana a partir de { $day }
diary-hours = Horas
diary-skin = Pele bem?
diary-bring = Traga esta folha para a próxima consulta, ou mande uma foto dela para nós.
