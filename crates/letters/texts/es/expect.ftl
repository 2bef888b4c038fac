# Awaits review by a clinician who speaks this language.
# What to expect, a sheet for each stage.
expect-questions-head = Lo que suelen preguntar los padres y las madres

# First casts
expect-casts-title = { $name }: los primeros yesos
expect-casts-why = Un pie zambo (también llamado pie equinovaro o pie bot) está girado hacia dentro y hacia abajo. Eso es porque las partes blandas del lado de dentro y de atrás son cortas. En un bebé todavía se estiran bien.
expect-casts-how = Una vez por semana movemos el pie con cuidado hasta donde llega, y un yeso lo sujeta ahí. Durante la semana, las partes blandas crecen hasta el nuevo largo.
expect-casts-many = La mayoría de los pies necesitan algunas semanas de yesos. En cada consulta contamos señales en el pie, para que usted vea cuánto ha avanzado.
expect-casts-feel = Mover el pie no duele. Muchos bebés lloran porque los sujetan, y paran cuando toman leche.
expect-casts-home = En casa usted mira los dedos del pie, mantiene seco el yeso y sigue con su vida: dar de comer, llevar en brazos, cantar, dormir. La hoja del yeso muestra cómo.
expect-casts-q-cause = ¿Hicimos algo mal?
expect-casts-a-cause = No. El pie se giró mientras su bebé crecía en el vientre. Nada de lo que usted comió, hizo o cargó lo ha causado.
expect-casts-q-bath = ¿Podemos bañar a nuestro bebé?
expect-casts-a-bath = Con el yeso no: lave con un paño. Si quitamos el yeso en la consulta, pregúntenos si hay tiempo para un baño.
expect-casts-q-walk = ¿Va a caminar nuestro hijo o hija?
expect-casts-a-walk = Sí. Los niños que reciben este tratamiento caminan, corren y juegan. A menudo dan sus primeros pasos unos dos meses más tarde que los demás.
expect-casts-q-miss = ¿Y si una semana no podemos venir?
expect-casts-a-miss = Llámenos y buscamos pronto otro día. Un yeso que se queda puesto demasiado tiempo puede ser pequeño para una pierna que crece.

# The day of the tenotomy
expect-cord-title = { $name }: el día del tendón de Aquiles
expect-cord-why = Los yesos han girado el pie. Pero el tendón del talón (tendón de Aquiles) todavía es corto y mantiene el talón arriba. Los yesos estiran muy poco el tendón. Un pequeño corte le da el largo suficiente.
expect-cord-before = Antes: revisamos a su hijo o hija y el pie, y preguntamos por enfermedades, alergias y medicinas. Se adormece la piel del talón. Pregúntenos a qué hora puede su hijo o hija tomar o comer por última vez.
expect-cord-during = Durante: el corte se hace a través de un agujero muy pequeño y tarda unos minutos. Díganos si quiere estar en la sala o esperar fuera. Las dos cosas están bien.
expect-cord-after = Después: enseguida se pone un yeso, con el talón abajo. Puede tener a su hijo o hija en brazos y darle de comer. Observamos a su hijo o hija antes de que se vayan a casa.
expect-cord-weeks = Este último yeso se queda puesto algunas semanas, más tiempo que los otros, porque dentro de él se une el tendón.
expect-cord-q-pain = ¿Duele?
expect-cord-a-pain = La piel está dormida durante el corte. Puede que ese día a su hijo o hija le cueste estar en calma. Le decimos qué medicina puede dar y cuánta.
expect-cord-q-strength = ¿Quedará débil el tendón de Aquiles?
expect-cord-a-strength = En un bebé los dos extremos se unen en unas semanas con el nuevo largo. Los niños caminan y corren con él.
expect-cord-q-blood = ¿Habrá sangre?
expect-cord-a-blood = Es normal una pequeña mancha en el yeso. Si sigue creciendo, venga a urgencias el mismo día.
expect-cord-q-all = ¿Lo necesitan todos los niños?
expect-cord-a-all = La mayoría sí, algunos no. Depende de cuánto sube el pie después de los yesos.

# First week of the brace
expect-brace-title = { $name }: la primera semana de la férula
expect-brace-why = El pie está en su sitio correcto, pero todavía intenta volver a torcerse mientras crece. La férula no lo deja.
expect-brace-hours = Al principio la férula está puesta de día y de noche. Se quita para el aseo y para patalear un poco con las piernas libres, como le hemos dicho.
expect-brace-first-nights = Las primeras noches son las más difíciles. La mayoría de los niños están de mal humor uno o dos días, porque todavía no pueden mover una pierna sin la otra. No tienen dolor.
expect-brace-help = Mire primero la piel, para saber que todo está bien. Después toca tener en brazos, dar de comer y mecer a su hijo o hija con la férula puesta. Doble las dos rodillas juntas, una y otra vez: los niños lo aprenden rápido.
expect-brace-stay = Si la férula se quita cada vez que hay llanto, el llanto dura más. Si se queda puesta y usted mantiene la calma, termina antes.
expect-brace-q-skin = ¿Cómo sabemos que no aprieta?
expect-brace-a-skin = Mire los pies cada vez que quite las botas. Es normal ver marcas rojas leves que desaparecen. Si la piel está abierta o tiene una ampolla, venga el mismo día.
expect-brace-q-sleep = ¿Cómo va a dormir nuestro hijo o hija?
expect-brace-a-sleep = Boca arriba, como antes, o como le hayamos dicho. Deje sitio para la barra: un saco de dormir ancho por abajo es mejor que una manta apretada.
expect-brace-q-hold = ¿Podemos seguir llevando en brazos y dando de comer a nuestro hijo o hija?
expect-brace-a-hold = Sí. Deje que la barra descanse a un lado de su cuerpo. Una funda de tela suave alrededor de la barra protege sus brazos y los muebles.

# Nights and naps
expect-nights-title = { $name }: el cambio a noches y siestas
expect-nights-why = Los primeros meses ya han pasado. Desde ahora la férula se lleva para dormir, y el resto del tiempo su hijo o hija está libre.
expect-nights-how = Elija las horas para que encajen en su día: la noche entera y las siestas. Ponga la férula antes de que su hijo o hija tenga demasiado sueño.
expect-nights-note = Apunte las horas, también las de los días malos. Las usamos para ayudar, no para juzgar.
expect-nights-danger = Ahora el pie se ve bien, y eso es lo que hace difíciles estos años. La mayoría de los pies que vuelven a torcerse lo hacen porque las noches fueron cada vez menos, poco a poco.
expect-nights-q-one = ¿Importa una noche sin la férula?
expect-nights-a-one = Una noche con fiebre no deshace el trabajo. Póngala otra vez la noche siguiente. Si ha estado quitada más tiempo, llámenos.
expect-nights-q-long = ¿Cuánto tiempo dura esto?
expect-nights-a-long = Hasta que su hijo o hija tenga unos cuatro o cinco años, como lo hemos planeado con usted. En estos años el pie crece rápido, y es entonces cuando vuelve a torcerse.
expect-nights-q-shoes = ¿Qué zapatos puede llevar de día nuestro hijo o hija?
expect-nights-a-shoes = Cualquier zapato que le quede bien. Los pies descalzos también están bien.

# A habit
expect-habit-title = { $name }: que la férula sea una costumbre
expect-habit-why = No se pelea contra una férula que forma parte de la hora de dormir, como el pijama. Una costumbre tarda algunas semanas, y después es la costumbre la que le ayuda a seguir.
expect-habit-same = El mismo orden cada noche: lavarse, pijama, férula, canción, cama. A los niños les gusta saber qué viene después.
expect-habit-calm = Muestre calma y seguridad. Los niños leen en su cara si todo va bien.
expect-habit-choice = No pregunte si quiere, pregunte cuál: qué calcetines, qué canción, primero la bota izquierda o la derecha. Así su hijo o hija también decide algo.
expect-habit-praise = Felicite por lo que salió bien, y no hable mucho de lo que no.
expect-habit-others = Los hermanos y las hermanas pueden ayudar: sujetar el calcetín, ponerle una bota a un muñeco, cantar la canción.
expect-habit-nursery = Muestre a las personas de la guardería cómo se pone la férula y deles nuestra carta. Las siestas también cuentan.
expect-habit-hard = Si hay pelea por la férula durante más de una semana, llámenos. Muchas veces algo aprieta o es demasiado pequeño, y eso lo podemos arreglar.
expect-habit-q-takes-off = Nuestro hijo o hija ha aprendido a abrir las correas. ¿Y ahora qué?
expect-habit-a-takes-off = Muchos niños lo hacen. Ponga calcetines largos o un saco de dormir por encima de las botas, y felicite por las noches en que quedan cerradas. Llámenos si no ayuda.

# Growing out of boots
expect-boots-title = { $name }: cuando las botas se quedan pequeñas
expect-boots-why = El pie de un bebé crece unos tres milímetros al mes. Por eso las primeras botas duran solo algunos meses. Más adelante duran más.
expect-boots-sign = Mire los dedos del pie: si se doblan por encima de la punta de la bota, es demasiado pequeña. Otras señales son marcas en los dedos o un talón que sube.
expect-boots-early = Llámenos cuando los dedos se acerquen al borde, y no solo cuando ya lo pasen. Un par nuevo puede tardar algunas semanas en llegar.
expect-boots-meanwhile = Hasta que llegue, siga con el par viejo, a no ser que la piel esté lastimada o le hayamos dicho otra cosa. Las noches sin férula hacen más daño que los dedos apretados.
expect-boots-bar = La barra también crece: debe ser tan ancha como los hombros. Lo medimos en cada consulta.

# Troubles
expect-troubles-title = { $name }: cuando la férula es difícil
expect-troubles-why = Casi todas las familias pasan alguna vez una época difícil con la férula. Ayuda buscar la causa antes de insistir más.
expect-troubles-heel = El talón sube: doble la rodilla, empuje el talón hacia abajo y cierre primero la correa del medio, bien firme.
expect-troubles-red = Marcas rojas: quite las botas media hora. Las marcas que desaparecen solo hay que vigilarlas. Si no desaparecen, llámenos.
expect-troubles-blister = Una ampolla o piel abierta: no ponga la bota en ese pie, no reviente la ampolla y venga el mismo día.
expect-troubles-cry = Llanto con la férula: mire primero los dedos del pie, el talón y la piel. Si todo está bien, tenga en brazos y consuele a su hijo o hija con la férula puesta.
expect-troubles-hours = Muy pocas horas: vuelva a las horas que funcionaban. Añada una hora cada pocas noches.
expect-troubles-lost = Un tornillo perdido o una correa rota: llámenos el mismo día, para que no se pierda ninguna noche.
expect-troubles-together = Díganos también cuando sienta que no puede más. Sabemos lo difícil que es, y buscamos una solución con usted.

# Turning back
expect-back-title = { $name }: señales de que el pie vuelve a torcerse
expect-back-why = Algunos pies vuelven a torcerse, también con el mejor cuidado. Si se ve pronto, unos pocos yesos muchas veces lo corrigen. Por eso, por favor, mire, y venga si tiene dudas.
expect-back-heel = El talón ya no toca el suelo, o su hijo o hija empieza a andar de puntillas.
expect-back-brace = El talón ya no baja dentro de la bota, aunque antes sí bajaba.
expect-back-in = La parte de delante del pie gira hacia dentro, o la planta mira hacia dentro cuando su hijo o hija levanta el pie al andar.
expect-back-edge = Los zapatos se gastan por el borde de fuera.
expect-back-squat = Su hijo o hija no puede ponerse en cuclillas con los dos talones en el suelo.
expect-back-do = Si ve una de estas señales, llámenos. No hace falta que lo sepa con certeza: mirar es nuestra parte.
expect-back-q-fault = ¿Es culpa nuestra?
expect-back-a-fault = No. La fuerza que lo hace torcerse otra vez está en el pie. La férula lo sujeta contra ella lo mejor que puede.

# The last year
expect-last-title = { $name }: el último año de la férula
expect-last-why = El final está cerca. Ahora el pie crece más despacio, y cada año es menos frecuente que vuelva a torcerse.
expect-last-hold = Siga con las noches como están hasta la última. El final lo decidimos en conjunto, cuando hayamos mirado el pie.
expect-last-after = Después todavía miramos el pie de vez en cuando, porque unos pocos pies vuelven a torcerse después de la férula.
expect-last-proud = Su hijo o hija, y usted, lo han hecho durante años. Sientan orgullo por ello.
