# Awaits review by a clinician who speaks this language.
plan-title = Plan para { $name }
plan-urgent = Necesitamos ver a su hijo o hija ya. Por favor, venga lo antes posible, y llámenos si no puede venir.
plan-way-head = En qué punto del camino estamos
plan-after-operation = Su hijo o hija ha tenido una operación. Lo que viene ahora se planea solo para su caso; lo hablaremos con usted paso a paso.

# What a step means.
here-first-visit = En la primera consulta miramos { $feet ->
    [left] el pie izquierdo
    [right] el pie derecho
   *[both] los dos pies
  } y hablamos con usted. Casi siempre se pone el primer yeso ese mismo día.
here-casts = { $feet ->
    [left] El pie izquierdo está
    [right] El pie derecho está
   *[both] Los dos pies están
  } con yeso. Cada yeso nuevo sujeta el pie un poco más cerca de su sitio correcto.
here-casts-again = { $feet ->
    [left] El pie izquierdo ha vuelto
    [right] El pie derecho ha vuelto
   *[both] Los dos pies han vuelto
  } a torcerse un poco. Esto les pasa a muchos niños. Unos pocos yesos llevan el pie otra vez a su sitio.
here-heel-cord = El tendón de Aquiles, en el talón { $feet ->
    [left] del pie izquierdo
    [right] del pie derecho
   *[both] de los dos pies
  }, todavía es demasiado corto y no deja bajar el talón. Un pequeño corte lo alarga. Primero se adormece la piel, y el tendón vuelve a unirse dentro del último yeso.
here-last-cast = { $feet ->
    [left] El pie izquierdo está
    [right] El pie derecho está
   *[both] Los dos pies están
  } en el último yeso. Mientras está puesto el yeso, el tendón de Aquiles sana con su nuevo largo. Después viene la férula.
here-brace-day-and-night = { $feet ->
    [left] El pie izquierdo ha llegado
    [right] El pie derecho ha llegado
   *[both] Los dos pies han llegado
  } al sitio correcto. Ahora la férula mantiene lo que han logrado los yesos. Los primeros meses se lleva de día y de noche.
here-brace-at-night = Su hijo o hija lleva la férula para dormir. El pie todavía intenta volver a torcerse mientras crece. Por eso las noches importan tanto como antes.
here-after-brace = Los años con la férula han terminado. Todavía miramos { $feet ->
    [left] el pie izquierdo
    [right] el pie derecho
   *[both] los dos pies
  } de vez en cuando. Lo hacemos porque algunos pies vuelven a torcerse más tarde, y es fácil ayudarlos cuando lo vemos pronto.

plan-dates-head = Próximas citas
plan-date-between = La próxima consulta debería ser entre el { $from } y el { $to }. Acordaremos el día con usted.
plan-date-now = A su hijo o hija ya le toca una consulta. Llámenos y acordaremos el próximo día libre.
plan-date-open = Le daremos la próxima cita antes de que se vaya.

visit-first = Primera consulta
visit-cast = Yeso nuevo
visit-heel-cord = Tendón de Aquiles
visit-brace-fitting = Quitar el yeso, poner la férula
visit-brace-review = Control con la férula
visit-review = Control

# The next visit.
plan-next-head = En la próxima consulta
next-first = Miramos a su hijo o hija y los pies, explicamos lo que vemos y respondemos a sus preguntas. Tómese todo el tiempo que necesite.
next-cast = Quitamos el yeso, lavamos la pierna, miramos el pie y lo movemos con cuidado. Después se pone un yeso nuevo. No duele, pero puede que a su hijo o hija no le guste que le sujeten para que no se mueva.
next-cast-off = Deje el yeso puesto hasta llegar aquí, a no ser que le hayamos pedido que lo quite. Un pie sin yeso empieza a torcerse otra vez en pocas horas.
next-heel-cord = Se adormece la piel del talón y se corta el tendón de Aquiles a través de un agujero muy pequeño. Son unos minutos. No hacen falta puntos.
next-heel-cord-after = Enseguida se pone un yeso. Poco después puede tener a su hijo o hija en brazos y darle de comer. Antes de que se vayan a casa, observamos a su hijo o hija un rato.
next-brace-fitting = Se quita el último yeso y miramos el pie. Después ajustamos las botas y la barra.
next-brace-learn = Antes de irse, usted pondrá la férula con sus propias manos, para saber que puede hacerlo en casa.
next-brace-review = Miramos los pies y la piel, vemos si las botas y la barra todavía le quedan bien y hablamos de cómo van las noches.
next-review = Miramos cómo han crecido los pies y cómo se mueve su hijo o hija.

bring-feed = Traiga algo de tomar para su hijo o hija: quien está tomando no se mueve, y el yeso queda mejor.
bring-papers = Traiga la carta de su médico y la cartilla o carné de salud, para que sepamos qué se ha hecho antes.
bring-loose-clothes = Traiga unos pantalones anchos o una manta que pasen por encima del yeso.
bring-feeding-times = Pregúntenos antes de ese día a qué hora puede su hijo o hija tomar o comer por última vez. Depende de la medicina que se use.
bring-two = Si puede, venga con otra persona: una sujeta a su hijo o hija y la otra escucha lo que decimos.
bring-socks = Traiga dos pares de calcetines lisos de algodón, porque las costuras rozan.
bring-everybody = Traiga a todas las personas que van a poner la férula en casa, para que todas lo hagan igual.
bring-brace = Traiga la férula, para que podamos revisarla puesta en los pies.
bring-hours = Traiga la hoja donde apunta las horas, también las de los días malos. Nos ayuda a ayudarle; aquí no se regaña a nadie.
bring-questions = Apunte sus preguntas según se le ocurran y traiga la lista.

# The hours.
hours-head = Horas con la férula
hours-now = { $hours ->
    [one] Ahora: { $hours } hora al día.
    [many] Ahora: { $hours } de horas al día.
   *[other] Ahora: { $hours } horas al día.
  }
hours-later-from = Más adelante: { $hours ->
    [one] { $hours } hora
    [many] { $hours } de horas
   *[other] { $hours } horas
  } al día, para las noches y las siestas. Lo planeamos así a partir del { $day }, si el pie está bien.
hours-later = Más adelante: { $hours ->
    [one] { $hours } hora
    [many] { $hours } de horas
   *[other] { $hours } horas
  } al día, para las noches y las siestas. Le diremos cuándo.
hours-until = La férula está prevista más o menos hasta el { $day }.
hours-why = Son las horas las que sujetan el pie: los pies que tienen sus horas rara vez vuelven a torcerse.

# What to look at.
plan-daily-head = Mire esto cada día
daily-toes = Dedos del pie: ¿se ven todos, están rosados y calientes? Esto muestra que el yeso no aprieta demasiado.
daily-cast-dry = Yeso: ¿está seco y limpio? Un yeso mojado se ablanda y daña la piel.
daily-cast-soft = Bordes: ¿está bien la piel arriba y junto a los dedos? Entonces nada roza.
daily-heel = Talón: ¿está abajo y atrás en la bota? Solo así queda sujeto el pie.
daily-skin = Piel: mire los dos pies cada vez que quite las botas. Es normal ver marcas rojas leves que desaparecen.
daily-toe-edge = Dedos del pie: ¿pasan de la punta de la bota? Entonces pronto será demasiado pequeña.
daily-walk = Andar: ¿su hijo o hija apoya todo el pie al andar?
daily-heel-touches = Talón: ¿toca el suelo cuando su hijo o hija se pone en cuclillas?

# What is likely.
likely-head = Qué esperamos
likely-casts = { $foot ->
    [left] Pie izquierdo
   *[right] Pie derecho
  }: en más o menos { $children } de cada 10 niños con un pie como este, { $from ->
    [0] no hace falta ningún yeso más, o hacen falta hasta { $to } más.
    [one] hacen falta de { $from } a { $to } yesos más.
    [many] hacen falta de { $from } a { $to } yesos más.
   *[other] hacen falta de { $from } a { $to } yesos más.
  }
likely-heel-cord = { $foot ->
    [left] Pie izquierdo
   *[right] Pie derecho
  }: el pequeño corte del tendón de Aquiles hace falta en más o menos { $children } de cada 10 niños con un pie como este. Podrían ser { $low } o { $high } de cada 10; no podemos saberlo con más exactitud.
likely-not-promise = Cada niño es diferente. Esto es lo que les pasó a otros niños, y no es una promesa.
