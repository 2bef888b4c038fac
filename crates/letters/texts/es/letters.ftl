# Awaits review by a clinician who speaks this language.
# Appointment letter
appointment-title = Próxima consulta para { $name }
appointment-when = Por favor, venga el { $day }.
appointment-when-time = Por favor, venga el { $day }. Hora: { $time }.
appointment-more-head = Otras citas
appointment-change = Si no puede venir ese día, llámenos y buscamos pronto otro día. Incluso unos pocos días importan para el pie.
appointment-late = Si llega tarde, venga de todos modos. Encontraremos la manera.

# Missed-visit letter
missed-title = Esperábamos a { $name }
missed-day = Tenía una cita con nosotros el { $day }, y no nos vimos.
missed-why = Puede haber buenas razones: un niño enfermo, no hay autobús, no hay dinero para el viaje, el trabajo. Díganos qué lo hace difícil, y buscamos una solución con usted.
missed-cast = Un yeso no debe quedarse puesto mucho más de una semana. Si todavía está puesto, llámenos hoy, para que podamos cambiarlo pronto.
missed-brace = El pie todavía crece e intenta volver a torcerse. Nos gustaría mirar el pie y la férula. Si la férula ya no se usa, venga de todos modos: aquí no se regaña a nadie.
missed-other = Nos gustaría ver cómo están los pies.
missed-do = Llámenos o venga cualquier día de consulta. No necesita otra carta de su médico.

# Letter to the nursery
nursery-title = { $name } lleva una férula
nursery-to = Para las personas que cuidan a { $name }
nursery-why = { $name } nació con un pie girado hacia dentro. Los yesos lo han llevado a su sitio. La férula lo sujeta mientras el pie crece.
nursery-hours-day = La férula se lleva casi todo el día, { $hours ->
    [one] { $hours } hora
    [many] { $hours } de horas
   *[other] { $hours } horas
  } en total. Se quita solo para el aseo y para patalear un poco con las piernas libres.
nursery-hours-naps = La férula se lleva para dormir, { $hours ->
    [one] { $hours } hora
    [many] { $hours } de horas
   *[other] { $hours } horas
  } al día en total. Por eso, por favor, pónganla también para la siesta.
nursery-on-head = Cómo se pone
nursery-normal = Fuera de esto, { $name } puede hacer todo lo que hacen los demás niños. Los niños con férula se sientan, gatean y juegan con ella.
nursery-check = Después de cada siesta, miren la piel. Es normal ver marcas rojas leves que desaparecen. Si la piel está abierta, no pongan la bota y llamen enseguida a los padres.
nursery-note = Por favor, apunten cuándo estuvo puesta y díganselo a los padres al final del día.

# Diary of the hours
diary-title = Horas con la férula de { $name }
diary-how = Cada día marque con una cruz la casilla con las horas que estuvo puesta la férula. Marque 0 si no estuvo puesta, y deje la fila vacía si no lo sabe.
diary-wrong = ¿Se equivocó? Rellene toda esa casilla y marque la correcta.
diary-example = Ejemplo: { $hours } horas
diary-why = Las horas verdaderas nos ayudan a ayudarle. Aquí no se regaña a nadie por una mala semana.
diary-week = Semana desde el { $day }
diary-hours = Horas
diary-skin = ¿Piel bien?
diary-bring = Traiga esta hoja a la próxima consulta o mándenos una foto de ella.
