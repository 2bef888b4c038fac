# Awaits review by a clinician who speaks this language.
# Next steps. A step may stand by itself or, with a small first letter, after “Pie derecho: ”.
step-first-visit = Primera consulta
step-first-visit-and-cast = Primera consulta, puntuación y yeso 1
step-wait-for-term = Esperar hasta la edad de término; después, primera consulta y yeso 1 desde el { $day }
step-positional = Explorar de nuevo el pie: postural, se corrige con la mano
step-see-again = Ver de nuevo al paciente: explorar y puntuar el pie, y hacer un plan nuevo
step-appointment = cita

# Casts. $cast is the message step-cast or step-cast-of-episode, $first one of those that begin with measure.
step-cast = Yeso { $n }
step-cast-of-episode = Yeso { $n } del episodio { $episode }
step-cast-first = { $cast }; antes, { $first }
step-cast-until-tenotomy = { $cast }, para sujetar el pie hasta la tenotomía
step-cast-and-review = { $cast }, y revisar el plan: no hay avance
measure-rest-of-score = completar la puntuación
measure-score = puntuar los seis signos
measure-movement = medir la dorsiflexión y la abducción
measure-dorsiflexion = medir la dorsiflexión
measure-abduction = medir la abducción

# At once.
step-see-the-same-day = Ver al paciente el mismo día: { $problem }
step-missed-in-cast = Ver al paciente de inmediato: faltó a una consulta con un yeso puesto
step-cast-after-tenotomy = Hoy: anotar el yeso de después de la tenotomía, o enyesar el pie
step-cast-off-too-soon = Ver al paciente de inmediato: sin el yeso de la tenotomía antes de tiempo

# The tenotomy.
step-tenotomy-book = Tenotomía: programarla o hacerla
step-tenotomy-booked = Tenotomía programada para el { $day }
step-tenotomy-day = Tenotomía: elegir una fecha
step-tenotomy-second-book = Segunda tenotomía: programarla o hacerla
step-tenotomy-second-booked = Segunda tenotomía programada para el { $day }
step-tenotomy-second-day = Segunda tenotomía: elegir una fecha
step-brace-without-tenotomy = Corregido sin tenotomía: quitar el yeso y poner la férula el mismo día
step-cast-off-and-brace = Quitar el yeso y poner la férula el mismo día
step-brace-out-of-cast = Poner la férula: está sin yeso y sin férula
step-assess-after-tenotomy = Valorar hoy: ¿tenotomía incompleta, o rigidez que más yesos pueden estirar?
step-hold-after-tenotomy = Cambiar el yeso de la tenotomía por un yeso de contención: la férula espera al { $foot ->
    [left] pie izquierdo
   *[right] pie derecho
}
step-hold = Cambiar el yeso de contención: la férula espera al { $foot ->
    [left] pie izquierdo
   *[right] pie derecho
}
step-watch-while = Vigilar este pie mientras se enyesa otra vez el { $foot ->
    [left] pie izquierdo
   *[right] pie derecho
}; después, férula en ambos pies

# The brace. $weeks is a number of weeks after the fitting.
step-early-review = Revisión de la férula a las { $weeks }
step-early-review-nights = Revisión de la férula a las { $weeks }, y cambiar a noches y siestas
step-early-review-little = Revisión de la férula a las { $weeks }; seguir a tiempo completo: hasta ahora se ha usado poco
step-brace-review = Revisión de la férula
step-brace-review-little = Revisión de la férula; seguir a tiempo completo: hasta ahora se ha usado poco
step-brace-review-decide = Revisión de la férula, y decidir si se continúa con ella
step-nights-and-naps = Cambiar a noches y siestas
step-end-of-bracing = Fin de la férula: revisar y decidir desde el { $day }
step-resume-bracing = Volver a la férula: se dejó antes de tiempo
step-review-after-bracing = Revisión después de la férula
step-review-after-surgery = Revisión después de la cirugía
step-relapse = Recidiva: valorar y empezar otra vez con los yesos

# The record or the findings stop the advice.
step-check-record = Comprobar primero la historia: el lado de una anotación es dudoso
step-look-again = Explorar de nuevo el pie antes de continuar: estos hallazgos se contradicen; un pie en mecedora es una causa posible

# Nothing is due.
step-nothing = Nada
step-nothing-discharged = Nada: alta
step-nothing-transferred = Nada aquí: pasó a otro centro
step-nothing-lost = Nada previsto: declarado perdido para el seguimiento
step-nothing-no-foot = Nada: ningún pie anotado como pie zambo

# Before the words of a call for attention.
step-today = Hoy:
step-brought-forward = { $step }, se adelanta:

# Problems with a cast or a brace.
problem-cast-slipped = yeso desplazado
problem-toes-not-seen = no se ven los dedos
problem-toes-colour = dedos oscuros, blancos o fríos
problem-swelling = hinchazón
problem-skin-broken = piel irritada o abierta
problem-skin-red = piel enrojecida
problem-blister = ampolla
problem-bleeding = sangrado
problem-fever = fiebre o signos de infección
problem-crying = llanto sin otra causa
problem-heel-slips-out = el talón se sale de la bota
problem-outgrown = botas o barra pequeñas
problem-brace-broken = férula rota
problem-not-tolerated = no tolera la férula
problem-family = circunstancias de la familia
problem-other = otro problema
