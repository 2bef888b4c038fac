# Awaits review by a clinician who speaks this language.
# The page of a day of the clinic.
day-title = El día
day-closed = La consulta está cerrada.
day-closed-why = La consulta está cerrada: { $why }.
day-places = { $n ->
    [one] { $n } plaza
   *[other] { $n } plazas
}
day-nobody = No se espera a nadie este día.
day-nobody-made = Las citas se hacen en la página de cada paciente.
day-nobody-find = Buscar un paciente
day-nobody-came = para anotar a quien vino sin cita.

# The children of the day by what became of them: the heading, and the count at the top.
day-here = Presentes
day-expected = Por llegar
day-seen = Atendidos
day-missed = No vinieron
day-cancelled = Citas anuladas
day-count-here = { $n ->
    [one] { $n } presente
   *[other] { $n } presentes
}
day-count-expected = { $n } por llegar
day-count-seen = { $n ->
    [one] { $n } atendido
   *[other] { $n } atendidos
}
day-count-missed = { $n ->
    [one] { $n } no vino
   *[other] { $n } no vinieron
}
day-count-cancelled = { $n ->
    [one] { $n } cita anulada
   *[other] { $n } citas anuladas
}

# From day to day.
day-days = Días
day-previous = Día anterior
day-today = Hoy
day-next = Día siguiente
day-call-list = Lista de llamadas
day-tenotomies = Tenotomías del día
day-go-to = Ir a un día
day-go = Ir
day-near = Consultas cerca de este día:

# One child.
day-paper-time = Hora
day-paper-child = Paciente
day-paper-feet = Pies y próximos pasos
day-no-time = sin hora
day-no-purpose = motivo sin anotar
day-without-appointment = sin cita
day-calls = { $n ->
    [one] { $n } aviso
   *[other] { $n } avisos
}
day-next-steps = Próximos pasos

# What can be done.
day-record-visit = Anotar la consulta
day-add-to-visit = Añadir a la consulta
day-open-visit = Abrir la consulta
day-arrived = Ha llegado
day-did-not-come = No vino
day-came-after-all = Vino al final
day-undo-here = Deshacer: no ha llegado
day-undo-missed = Deshacer: todavía por llegar
day-new-appointment = Nueva cita
day-move = Pasar a otro día
day-call-family = Llamar a la familia
day-checklist = Lista de comprobación de la tenotomía
day-more = Más
day-second-score = Segunda puntuación, { $foot ->
    [left] pie izquierdo
   *[right] pie derecho
}
day-score-twice = Los pies puntuados hoy puede puntuarlos a ciegas una segunda persona.
day-scoring-together = Qué pies este mes

# What was just done.
day-done-called = La llamada está guardada.
day-done-moved = La cita está cambiada de día.
day-done-undone = La marca está deshecha.
day-left-out = { $n ->
    [one] Este día se espera a { $n } paciente más de los que se muestran aquí. Búsquelo por su nombre.
   *[other] Este día se espera a { $n } pacientes más de los que se muestran aquí. Búsquelos por su nombre.
}
