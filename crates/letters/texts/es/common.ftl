# Awaits review by a clinician who speaks this language.
# Whose it is.
whose-name = { $name }
whose-born = Nacimiento: { $day }
whose-number = Número { $number }
whose-made = Hecho el { $day }, { $clinic }

# The steps on the way.
stage-first-visit = Primera consulta
stage-casts = Yesos
stage-heel-cord = Tendón de Aquiles
stage-last-cast = Último yeso
stage-brace-day-and-night = Férula de día y de noche
stage-brace-at-night = Férula por la noche
stage-after-brace = Controles

you-are-here = { $feet ->
    [left] Usted está aquí: pie izquierdo
    [right] Usted está aquí: pie derecho
   *[both] Usted está aquí
}

# Headings and labels that every document has.
emergency-head = Venga hoy mismo a urgencias (emergencias) si
emergency-why = Estas señales pueden ser graves. Por eso no espere a la próxima consulta.
ring-head = Llámenos si
telephone-label = Nuestro teléfono
telephone-blank = Escriba aquí el número:
dates-day = Día
dates-time = Hora
dates-what = Para qué

# Signs for which the child is brought in at once.
emergency-toes = los dedos del pie están oscuros, blancos, fríos o hinchados
emergency-hidden-toes = ya no se ven los dedos del pie
emergency-skin = la piel está abierta o tiene una ampolla
emergency-fever = su hijo o hija tiene fiebre
emergency-blood = una mancha de sangre en el yeso sigue creciendo
emergency-crying = su hijo o hija llora y no se calma con nada

# When to ring.
ring-cast-wet = el yeso está mojado, agrietado o blando, porque así ya no puede sujetar el pie
ring-cast-loose = el yeso se baja o gira, porque puede rozar y el pie puede volver a torcerse
ring-cast-smell = el yeso huele mal o la piel del borde está lastimada
ring-red = el color rojo de la piel no desaparece, porque puede hacerse una llaga
ring-heel = el talón no se queda abajo en la bota, porque entonces la férula no sujeta el pie
ring-toes-over = los dedos se doblan por encima de la punta de la bota, porque ya toca una más grande
ring-brace-off = su hijo o hija ha pasado una noche sin la férula, porque el pie puede volver a torcerse rápido
ring-brace-broken = se ha roto una correa, un tornillo o la barra
ring-foot-turns = parece que el pie vuelve a girar hacia dentro, o el talón ya no toca el suelo
ring-cannot-come = no puede venir ese día: buscaremos pronto otro día

# This language.
language-name = Español
translation-awaits-review = Este texto es una traducción. Todavía no la ha revisado ningún profesional de salud que hable español. Si algo no se entiende o parece equivocado, pregúntenos.

# Named by the clinic, below the plan.
talk-to-head = Personas con las que pueden hablar
talk-to-line = { $text }
