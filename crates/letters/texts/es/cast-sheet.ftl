# Awaits review by a clinician who speaks this language.
cast-title = { $name } y el yeso
cast-what = El yeso va desde los dedos del pie hasta lo alto del muslo. Sujeta el pie en una posición mejor, para que las partes blandas puedan crecer así.
cast-each = Se cambia más o menos una vez por semana. Cada vez, el pie avanza un poco más.

cast-draw-toes = Se ven todos los dedos del pie. Si están rosados y calientes, la sangre circula bien.
cast-draw-knee = La rodilla está doblada, para que el yeso no pueda bajarse. Así puede estar su hijo o hija en la cama y en brazos.
cast-draw-heel = Ponga una toalla enrollada debajo de la pantorrilla, para que el talón quede en el aire. Un talón apoyado en la cama se lastima.

cast-first-day-head = El primer día
cast-first-toes = Mire los dedos del pie cada hora hasta la hora de dormir, y una vez durante la noche. Si un yeso aprieta demasiado, se nota en ese tiempo.
cast-first-dry = El yeso necesita más o menos un día para secarse. Déjelo destapado, al aire, y sobre algo blando, para que no se hunda por ningún lado.
cast-first-lift = Levante a su hijo o hija con una mano debajo del cuerpo y otra debajo del yeso. No tire del yeso.
cast-first-unsettled = Muchos niños están inquietos un día. Ayuda tenerlos en brazos, darles de comer y cambiarlos de postura.

cast-every-day-head = Cada día
cast-toes-colour = Mire los dedos del pie cada vez que dé de comer: rosados, calientes, todos a la vista.
cast-pinch = Apriete un dedo del pie y suéltelo. Se pone blanco y vuelve a estar rosado en dos segundos como mucho. Si no, puede que el yeso apriete demasiado.
cast-dry = Lave a su hijo o hija con un paño y no meta el yeso en el baño, porque el agua lo ablanda.
cast-nappy = Ponga el pañal con el borde por fuera del yeso y cámbielo a menudo. Un yeso mojado lastima la piel.
cast-nothing-inside = No meta nada dentro del yeso, tampoco si pica. Un rasguño debajo del yeso puede hacerse una llaga.
cast-carry = Lleve en brazos y abrace a su hijo o hija como antes. Al yeso no le pasa nada.

cast-cut-head = Después del corte del tendón de Aquiles
cast-cut-stain = Es normal una pequeña mancha de sangre en el talón.
cast-cut-draw = Dibuje con un bolígrafo una línea alrededor de la mancha y escriba al lado la hora. Así puede ver si crece.
cast-cut-medicine = Dé la medicina para el dolor como le hemos dicho. Pregúntenos antes de dar cualquier otra.

cast-off-head = Quitar el yeso
cast-off-clinic = Nosotros quitamos el yeso en la consulta. Déjelo puesto hasta entonces, a no ser que le hayamos pedido que lo haga en casa: un pie sin yeso empieza a torcerse otra vez en pocas horas.

# What the drawing shows, for those who hear the page.
drawing-leg-in-cast = Dibujo: una pierna con yeso, la rodilla doblada, los dedos del pie a la vista y una toalla enrollada debajo de la pantorrilla
