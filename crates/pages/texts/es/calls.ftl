# Awaits review by a clinician who speaks this language.
# Calls for attention. Those about a foot follow its name and a colon, with a small first letter.
call-birth-date-missing = La fecha de nacimiento no está anotada.

# A number with decimals.
decimal = { $whole },{ $tenths }

# A problem that is not settled. $whose is a foot or call-the-child.
call-the-child = El paciente
call-problem = { $whose }: { $problem }, según anotación del { $day }.
call-problem-advice = { $whose }: { $problem }, según anotación del { $day }; el consejo dado no ayudó.
call-problem-seen = { $whose }: { $problem }, según anotación del { $day }; se vio al paciente el { $seen }, pero no está anotado si el problema está resuelto.

# Casts. $why is one of those that begin with removal.
call-cast-on-too-long = yeso { $n } puesto desde el { $since }; debía retirarse a más tardar el { $due }.
call-no-cast-since = sin yeso nuevo desde el { $day }, cuando salió el último ({ $why }).
call-casts-unscored = { $n ->
    [one] { $n } yeso
   *[other] { $n } yesos
} sin puntuación; última puntuación el { $day }.
call-casts-never-scored = { $n ->
    [one] { $n } yeso
   *[other] { $n } yesos
} sin puntuación; pie nunca puntuado.
call-not-held = yeso retirado el { $day }; desde entonces, ni yeso ni férula.
call-untreated = anotado como pie zambo pero sin tratamiento, mientras que el { $foot ->
    [left] pie izquierdo
   *[right] pie derecho
} está en tratamiento desde el { $day }.
call-other-in-brace = { $phase } desde el { $day }, mientras que el { $foot ->
    [left] pie izquierdo
   *[right] pie derecho
} está con { $other }.
call-still-in-correction = todavía en corrección tras { $n ->
    [one] { $n } yeso
   *[other] { $n } yesos
}, el { $day }.
call-relapse-still-in-correction = todavía en corrección tras { $n ->
    [one] { $n } yeso
   *[other] { $n } yesos
} por una recidiva, el { $day }.
removal-planned = según lo previsto
removal-slipped = se desplazó
removal-sore = piel irritada
removal-circulation = hinchazón o dedos de mal color
removal-damaged = mojado o roto
removal-by-family = lo retiró la familia
removal-other = otro motivo

# The tenotomy.
call-no-cast-after-tenotomy = tenotomía el { $day }; no hay ningún yeso anotado ese día ni después.
call-ready-for-tenotomy = listo para la tenotomía el { $day }; no hay ninguna programada.
call-tenotomy-not-done = tenotomía programada para el { $day }; no está anotada como hecha.
call-tenotomy-without-day = tenotomía solicitada el { $day }, sin fecha fijada.
call-tenotomy-waits-ready = listo para la tenotomía desde el { $since }, programada para el { $day }; desde entonces, { $n ->
    [one] { $n } yeso
   *[other] { $n } yesos
}.
call-tenotomy-waits-booked = tenotomía solicitada el { $since } y programada para el { $day }; desde entonces, { $n ->
    [one] { $n } yeso
   *[other] { $n } yesos
}.
call-short-after-tenotomy = dorsiflexión { $deg } el { $day }, después de la tenotomía del { $cut }. ¿Tenotomía incompleta, o rigidez que más yesos pueden estirar?

# Scores and angles. $findings is one of the four below it, $score a score with its day.
call-contradiction = los hallazgos se contradicen. { $findings }
call-contradiction-dorsiflexion = { $score }. Dorsiflexión { $deg }.
call-contradiction-abduction = { $score }. Abducción { $deg }.
call-contradiction-equinus = Equino rígido { $points } ({ $meaning }) y dorsiflexión { $deg } el { $day }.
call-contradiction-total = Total { $stated } anotado el { $day }; los seis signos suman { $sum }.
score-total = Pirani { $total } el { $day }: retropié { $hindfoot }; mediopié { $midfoot }
score-incomplete = Pirani incompleto el { $day }: retropié { $hindfoot }; mediopié { $midfoot }
score-part-incomplete = incompleto
score-without = { $score }; sin valorar: { $signs }
sign-lateral-border = borde lateral curvo
sign-medial-crease = pliegue medial
sign-talar-head = cabeza lateral del astrágalo
sign-posterior-crease = pliegue posterior
sign-rigid-equinus = equino rígido
sign-empty-heel = talón vacío
equinus-zero = pasa claramente de la posición neutra
equinus-half = llega a la posición neutra o apenas la pasa
equinus-one = no llega a la posición neutra
call-casts-slipped = { $n ->
    [one] se ha desplazado { $n } yeso
   *[other] se han desplazado { $n } yesos
}, el último el { $day }. Puede ser un pie complejo.
call-signs-unchanged = el pliegue medial, el pliegue posterior y el equino siguen en 1 tras { $n ->
    [one] { $n } yeso
   *[other] { $n } yesos
}, el { $day }. Puede ser un pie complejo.
call-midfoot-unchanged = puntuación del mediopié sin cambios durante { $n ->
    [one] { $n } yeso
   *[other] { $n } yesos
}, hasta el { $day }.
call-total-unchanged = total de Pirani sin cambios durante { $n ->
    [one] { $n } yeso
   *[other] { $n } yesos
}, hasta el { $day }.
call-score-worse = total de Pirani { $now } el { $day }; { $was } el { $before }.
call-dorsiflexion = dorsiflexión { $deg } el { $day }.
call-dorsiflexion-fallen = dorsiflexión { $deg } el { $day }; { $best } el { $before }.
call-walking-score-low = puntuación de la edad de la marcha: { $n } de 12 el { $day }.

# Relapse. $signs are those that begin with relapse-sign.
call-relapse-signs = { $signs }.
call-relapse-signs-graded = { $signs }. En conjunto: grado { $grade }.
relapse-sign-equinus = equino, se corrige con la mano
relapse-sign-equinus-fixed = equino, fijo
relapse-sign-heel-rise = elevación precoz del talón
relapse-sign-heel-varus = talón en varo, se corrige con la mano
relapse-sign-heel-varus-fixed = talón en varo, fijo
relapse-sign-adductus = antepié en aducción, se corrige con la mano
relapse-sign-adductus-fixed = antepié en aducción, fijo
relapse-sign-supination = supinación en la fase de balanceo
relapse-sign-evertors-weak = músculos eversores débiles
relapse-sign-evertors-not-working = músculos eversores sin función
relapse-sign-cavus = arco alto, se corrige con la mano
relapse-sign-cavus-fixed = arco alto, fijo
relapse-grade-ia = IA: dorsiflexión perdida hasta la posición neutra, flexible
relapse-grade-ib = IB: aducción o supinación dinámica, flexible
relapse-grade-iia = IIA: equino rígido
relapse-grade-iib = IIB: aducción rígida
relapse-grade-iii = III: dos o más deformidades fijas

# Visits. $since is one of those that begin with since, $born one of those that begin with born-on.
call-attended = El paciente acudió el { $day }; no hay nada más anotado de la consulta.
call-missed = El paciente no acudió el { $day } ({ $purpose }); no hay otra cita programada.
call-missed-next = El paciente no acudió el { $day } ({ $purpose }); la próxima cita es el { $next }.
call-passed = Se esperaba al paciente el { $day } ({ $purpose }); no hay nada anotado.
call-none-booked = { $since }; no hay próxima cita programada.
call-none-booked-cancelled = { $since }; la cita del { $day } se anuló y no hay otra programada.
since-last-seen = Última consulta el { $day }
since-referred = Derivación el { $day }, todavía sin consulta
since-referred-again = Nueva derivación el { $day }, sin consulta desde entonces
call-early-review-overdue = La revisión de la férula { $weeks } después de colocarla debía hacerse el { $day }; no se ha visto al paciente.
call-review-overdue = Última consulta el { $seen }; la revisión prevista para el { $day } está atrasada.
call-never-seen = El tratamiento suele empezar a esta edad. Derivación el { $day }, { $born }; todavía sin consulta.
call-never-seen-late = El plazo habitual para empezar el tratamiento ha pasado. Derivación el { $day }, { $born }; todavía sin consulta.
born-on = nacimiento el { $day }
born-on-unknown = fecha de nacimiento sin anotar

# Families who do not come. $span is a time without a visit, $visit a planned visit.
call-declared-lost = Declarado perdido para el seguimiento el { $day }.
call-lost = Última consulta el { $seen }: cuenta como perdido para el seguimiento después del { $ended } ({ $span }).
call-lost-appointment = Última consulta el { $seen }: cuenta como perdido para el seguimiento si el paciente no acude el { $day }; el plazo de { $span } terminó el { $ended }.
call-lost-planned = Última consulta el { $seen }: cuenta como perdido para el seguimiento después del { $day }, último día para { $visit }; el plazo publicado de { $span } terminó el { $ended }.
lost-span-casting = { $n ->
    [one] { $n } día
   *[other] { $n } días
} en la fase de yesos
lost-span-tenotomy = { $n ->
    [one] { $n } día
   *[other] { $n } días
} en torno a la tenotomía
lost-span-bracing = { $n ->
    [one] { $n } mes
   *[other] { $n } meses
} con la férula
lost-visit-booked = la consulta programada
lost-visit-cast-end = la retirada del yeso de la tenotomía
lost-visit-cast = el próximo yeso
lost-visit-review = la revisión prevista
call-tried = { $n ->
    [one] Se ha intentado una vez.
   *[other] Se ha intentado { $n } veces.
}
call-next-way = Siguiente intento: { $way }, desde el { $day }.
call-every-way-tried = Se ha intentado de todas las formas: desde el { $day }, inténtelo una vez más o cierre la historia con un alta.
way-telephone = teléfono
way-message = mensaje
way-letter = carta
way-home-visit = visita a domicilio
way-through = a través de otra persona

# Boots and bar. $window is one of those that begin with outgrown.
boot-right = Bota derecha
boot-left = Bota izquierda
call-bar-too-narrow = La barra de { $mm } mm queda demasiado corta: { $window }.
call-boot-outgrown = { $boot }, { $mm } mm por dentro, se queda pequeña: { $window }.
call-boot-too-small = { $boot }, { $mm } mm por dentro, es demasiado pequeña: el pie medía { $length } mm el { $day }.
call-order-boots = Pida las próximas botas a más tardar el { $day }. { $boot }, { $mm } mm por dentro, se queda pequeña: { $window }.
outgrown-already = ya según la medición del { $day }
outgrown-between = intervalo del 90 %, del { $from } al { $to }
outgrown-between-likely = lo más probable, a más tardar el { $likely } (intervalo del 90 %, del { $from } al { $to })
outgrown-not-before = improbable antes del { $from }
outgrown-not-before-likely = lo más probable, a más tardar el { $likely }; improbable antes del { $from }

# Settings of the brace. $reached is one of those that begin with reached; $clubfoot and $other are feet.
call-outward-beyond = { $boot } en abducción de { $deg }: el pie { $reached }.
call-bend-beyond = { $boot } en dorsiflexión de { $deg }: la dorsiflexión del pie { $reached }.
reached-cast = llegó a { $deg } en su yeso del { $day }
reached-measured = llegó a { $deg } en la medición del { $day }
reached-tenotomy = llegó a { $deg } después de la tenotomía del { $day }
call-wide-complex = { $boot } en abducción de { $deg }: el { $foot ->
    [left] pie izquierdo
   *[right] pie derecho
} es un pie complejo.
call-wide-unaffected = { $boot } en abducción de { $deg }: el { $foot ->
    [left] pie izquierdo
   *[right] pie derecho
} no está anotado como pie zambo.
call-wide-bar-unknown = { $boot } en abducción de { $deg }: el { $foot ->
    [left] pie izquierdo
   *[right] pie derecho
} no está anotado como pie zambo. Anote si la barra se puede ajustar por separado en cada lado: si no se puede, este es el ajuste habitual.
call-exchanged = El { $clubfoot }, que es el pie zambo, está en abducción de { $own } y el { $other }, de { $deg }: los dos ajustes parecen intercambiados.
call-one-boot-right = Solo hay una bota anotada para el pie derecho, ninguna para el izquierdo.
call-one-boot-left = Solo hay una bota anotada para el pie izquierdo, ninguna para el derecho.
call-bar-length = La barra mide { $bar } mm: los hombros medían { $mm } mm el { $day }, { $width }.
width-biacromial = de hueso a hueso: del borde externo de un acromion al del otro
width-bideltoid = sobre la parte más ancha de los brazos, con los brazos a los lados

# The course of bracing.
call-stopped = La férula de abducción se dejó el { $day }; estaba prevista hasta el { $end }.
call-stopped-unknown = La férula de abducción se dejó el { $day }; sin fecha de nacimiento no se sabe si fue antes de tiempo.
call-full-time-ended = La férula a tiempo completo terminó el { $day }, tras { $lasted } de { $n ->
    [one] { $n } día
   *[other] { $n } días
}: ¿es lo que se quería?
call-night-time-due = Con la férula a tiempo completo desde el { $since }: { $n ->
    [one] { $n } semana termina
   *[other] { $n } semanas terminan
} el { $day }.
call-end-due = El fin de la férula de abducción está previsto para el { $day }, a la edad de { $n ->
    [one] { $n } año
   *[other] { $n } años
}.

# Hours in the brace. $how is one of the first two.
how-reported = según la familia
how-logged = según el sensor
call-not-worn = Férula sin usar { $n ->
    [one] { $n } día
   *[other] { $n } días seguidos
}, del { $from } al { $to }, { $how }.
call-wear-fell = El uso de la férula, { $how }, bajó de { $before } a { $after } horas al día en la semana del { $day }.
call-wear-low = El uso de la férula, { $how }, es bajo: { $hours } de { $prescribed } horas al día prescritas ({ $percent } %), del { $from } al { $to }.
call-below-reported = En { $n ->
    [one] { $n } día
   *[other] { $n } días
} la familia indicó { $reported } horas al día y el sensor midió { $logged }: { $times } veces lo medido.
call-nothing-logged = En { $n ->
    [one] { $n } día
   *[other] { $n } días
} la familia indicó { $reported } horas al día y el sensor midió { $logged }: no registró nada.
call-wear-known-until = No hay horas de uso anotadas: solo se conocen hasta el { $day }.
call-wear-never-recorded = No hay horas de uso anotadas: con la férula desde el { $day }.
