# Awaits review by a clinician who speaks this language.
# What several pages say.
language-name = español
translation-awaits-review = Traducción pendiente de revisión por personal clínico de habla hispana. Lo que no está traducido sigue en inglés.
translation-change = Cambiar el idioma
translation-choose = Idioma de las páginas
print = Imprimir
as-pdf = en PDF

# At the foot of every page of a paper that the clinic prints.
paper-made = Elaborado el { $day }
paper-records = registros { $mark }

# The caution.
caution = Esto ayuda a decidir, pero no sustituye el criterio de un profesional clínico cualificado. El protocolo local y el profesional que trata al paciente tienen siempre prioridad.

# Before the message at the top of a page.
message-done = Hecho
message-note = Nota
message-warning = Atención

# Numbers of days, weeks, months and years.
count-days = { $n ->
    [one] { $n } día
   *[other] { $n } días
}
count-weeks = { $n ->
    [one] { $n } semana
   *[other] { $n } semanas
}
count-months = { $n ->
    [one] { $n } mes
   *[other] { $n } meses
}
count-years = { $n ->
    [one] { $n } año
   *[other] { $n } años
}

# A day beside today; $span is a number of days, weeks or months.
relative-today = hoy
relative-tomorrow = mañana
relative-yesterday = ayer
relative-in = dentro de { $span }
relative-ago = hace { $span }

# The days within which something is due. In one month $from is a number; otherwise a day with its month.
range-in-month = { $from }–{ $to }
range = { $from } – { $to }
window-opens = empieza { $when }
window-past = plazo vencido hace { $span }
window-today = vence hoy
window-from-today = toca desde hoy, plazo restante: { $span }
window-now = toca ahora, plazo restante: { $span }

# Ages. The corrected age of a child born early stands in brackets.
age-unborn = sin nacer
age-unknown = edad desconocida
age-about = aprox. { $age }
age-years-months = { $years } y { $months }
age-before-term = { $span } antes de término
age-corrected = { $span } de edad corregida

# Who a child is.
who-born = nacimiento:
who-born-about = nacimiento aprox.:
who-number = n.º { $number }
who-no-number = sin número
who-no-name = Sin nombre, número { $number }
who-no-name-no-number = Sin nombre ni número
who-restricted = Historia restringida
who-restricted-hint = a usted no se le muestran la edad ni los pies
who-twin = Gemelar, { $own }. Su gemelar: { $others }.
who-twins = Gemelar, { $own }. Sus gemelares: { $others }.
born-first = primer nacimiento
born-second = segundo nacimiento
born-third = tercer nacimiento
born-fourth = cuarto nacimiento
born-order-unknown = orden de nacimiento sin anotar

# Whom a step is about: before a colon.
scope-right = Pie derecho
scope-left = Pie izquierdo
scope-both = Ambos pies
scope-child = Paciente

# The feet of a child.
feet-right = pie derecho
feet-left = pie izquierdo
feet-both = ambos pies
feet-none = sin pie afectado anotado

# The phase of a foot.
phase-referred = derivado
phase-in-correction = en corrección
phase-waiting-for-tenotomy = en espera de la tenotomía
phase-tenotomy-cast = en el yeso de la tenotomía
phase-full-time-bracing = férula a tiempo completo
phase-night-time-bracing = férula nocturna
phase-after-bracing = después de la férula
phase-after-surgery = después de la cirugía
phase-discharged = alta
phase-transferred = en otro centro
phase-lost = seguimiento perdido
phase-died = fallecimiento

# What an appointment is for.
purpose-first = primera consulta
purpose-cast = yeso
purpose-tenotomy = tenotomía
purpose-brace-fitting = retirada del yeso y colocación de la férula
purpose-brace-review = revisión de la férula
purpose-review = revisión
purpose-other = otro motivo

# How soon the clinic must act on a call for attention.
urgency-today = hoy
urgency-this-week = esta semana
urgency-soon = pronto
urgency-watch = vigilar
