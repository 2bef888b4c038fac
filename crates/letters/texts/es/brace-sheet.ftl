# Awaits review by a clinician who speaks this language.
brace-title = { $name } y la férula
brace-what = La férula son dos botas unidas a una barra. No mueve el pie. Mantiene lo que han logrado los yesos, mientras el pie crece.
brace-both-feet = Se ponen los dos pies, también el pie que nunca estuvo girado hacia dentro: la barra necesita los dos para sujetar uno.

brace-on-knee = Doble la rodilla. Así el talón baja con más facilidad.
brace-on-heel = Empuje el pie hacia atrás hasta que el talón esté abajo. Puede ver el talón en la parte de atrás de la bota.
brace-on-middle = Cierre primero la correa del medio, la que pasa sobre el tobillo, y ciérrela bien firme. Es la que sujeta el talón.
brace-on-others = Después cierre las otras correas. Basta con que queden ajustadas.
brace-on-check = Tire suavemente de la pierna. Si el talón sube, abra las correas y empiece de nuevo.

brace-settings-head = Cómo está ajustada para su hijo o hija
brace-hours = Horas
brace-hours-yours = { $hours ->
    [one] { $hours } hora al día
    [many] { $hours } de horas al día
   *[other] { $hours } horas al día
  }
brace-hours-usual = { $hours ->
    [one] { $hours } hora al día, como es habitual aquí
    [many] { $hours } de horas al día, como es habitual aquí
   *[other] { $hours } horas al día, como es habitual aquí
  }
brace-bar = Barra
brace-bar-mm = { $mm } mm
brace-turned-out = { $foot ->
    [left] Bota izquierda girada hacia fuera
   *[right] Bota derecha girada hacia fuera
  }
brace-degrees = { $deg }°
brace-size = { $foot ->
    [left] Bota izquierda
   *[right] Bota derecha
  }
brace-size-is = talla { $size }
brace-size-mm = { $mm } mm de largo por dentro
brace-settings-leave = Por favor, deje la barra y el giro de las botas como los hemos puesto. Si algo parece mal, llámenos: un ajuste equivocado puede lastimar el pie.

brace-every-day-head = Cada día
brace-day-routine = Ponga la férula a la misma hora cada día, con la misma canción o el mismo cuento. Los niños se calman mejor con lo que conocen.
brace-day-socks = Use calcetines lisos de algodón, sin arrugas, porque las arrugas rozan.
brace-day-skin = Mire la piel cuando quite las botas. Es normal ver marcas rojas leves que desaparecen.
brace-day-no-cream = No ponga crema en la piel roja: la crema ablanda la piel, y entonces se abre con más facilidad.
brace-day-together = Mueva las dos piernas juntas y juegue con la barra. Así su hijo o hija aprende a patalear con las dos piernas a la vez.
brace-day-no-walker = No use andadores ni saltadores con la férula puesta, porque empujan los dedos del pie hacia abajo.

brace-first-head = Los primeros días
brace-first-days = La mayoría de los niños están de mal humor uno o dos días. No tienen dolor: tienen que aprender a mover las dos piernas a la vez. Mire la piel, consuele a su hijo o hija y deje la férula puesta.
brace-first-hold = Cada vez que se queda puesta, resulta más fácil. Si las noches siguen siendo difíciles, llámenos. No tiene que cargar con todo esto sin ayuda.

# What the drawing shows, for those who hear the page.
drawing-heel-and-straps = Dibujo: una bota vista de lado, el talón abajo en la parte de atrás, y tres correas, de las que se cierra primero la del medio
