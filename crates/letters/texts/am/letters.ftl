# Awaits review by a clinician who speaks this language.

# Appointment letter
appointment-title = የሚቀጥለው ቀጠሮ፦ { $name }
appointment-when = እባክዎ { $day } ይምጡ።
appointment-when-time = እባክዎ { $day } ይምጡ። ሰዓት፦ { $time }
appointment-more-head = ሌሎች የቀጠሮ ቀናት
appointment-change = በዚያ ቀን መምጣት ካልቻሉ ይደውሉልን፤ በቅርቡ ሌላ ቀን እናገኛለን። ጥቂት ቀናት እንኳ ለእግሩ ለውጥ ያመጣሉ።
appointment-late = ቢዘገዩም ይምጡ። መንገድ እናገኛለን።

# Missed-visit letter
missed-title = { $name }፦ በቀጠሮው ቀን ሳንገናኝ ቀረን
missed-day = { $day } ከእኛ ጋር ቀጠሮ ነበርዎት፤ እኛም አላየንዎትም።
missed-why = በቂ ምክንያቶች ሊኖሩ ይችላሉ፦ የታመመ ልጅ፣ አውቶቡስ አለመኖር፣ ለጉዞ ገንዘብ አለመኖር፣ ሥራ። የሚያስቸግርዎትን ይንገሩን፤ ከእርስዎ ጋር መፍትሔ እንፈልጋለን።
missed-cast = ጄሶ ከአንድ ሳምንት ብዙ አልፎ መቆየት የለበትም። አሁንም ካለ፣ በቅርቡ እንድንቀይረው ዛሬውኑ ይደውሉልን።
missed-brace = እግሩ አሁንም ያድጋል፤ ተመልሶ ለመጣመምም ይሞክራል። እግሩንና ብሬሱን ማየት እንፈልጋለን። ብሬሱን ማድረግ ያቆሙ ቢሆንም ይምጡ፤ ማንም አይወቀስም።
missed-other = እግሮቹ እንዴት እንደሆኑ ማየት እንፈልጋለን።
missed-do = ይደውሉልን ወይም በማንኛውም የክሊኒክ ቀን ይምጡ። ከሐኪምዎ አዲስ ደብዳቤ አያስፈልግዎትም።

# Letter to the nursery
nursery-title = በ{ $name } እግሮች ላይ ያለው ብሬስ
nursery-to = ለ{ $name } እንክብካቤ ለሚያደርጉ ሰዎች
nursery-why = የ{ $name } እግር ከውልደት ጀምሮ ወደ ውስጥ የዞረ ነበር። ጄሶዎች ወደ ቦታው አዙረውታል። እግሩ እያደገ ሳለ ብሬሱ ይይዘዋል።
nursery-hours-day = ብሬሱ ቀኑን ሙሉ ማለት ይቻላል ይደረጋል፤ በጠቅላላው ለ{ $hours ->
    [one] { $hours } ሰዓት
   *[other] { $hours } ሰዓታት
  }። የሚወልቀው ለመታጠብና ለጥቂት ጊዜ በነፃነት ለመራገጥ ብቻ ነው።
nursery-hours-naps = ብሬሱ ለእንቅልፍ ይደረጋል፤ በቀን በጠቅላላው ለ{ $hours ->
    [one] { $hours } ሰዓት
   *[other] { $hours } ሰዓታት
  }። ስለዚህ እባክዎ ለቀን እንቅልፍም ያድርጉት።
nursery-on-head = እንዴት እንደሚደረግ
nursery-normal = ከዚህ በቀር ሌሎች ልጆች የሚያደርጉትን ሁሉ ማድረግ ለ{ $name } ይቻላል። ብሬስ ያደረጉ ልጆች ከነብሬሱ ይቀመጣሉ፣ ይድሃሉ፣ ይጫወታሉ።
nursery-check = ከእያንዳንዱ የቀን እንቅልፍ በኋላ ቆዳውን ይመልከቱ። የሚጠፉ ቀለል ያሉ ቀይ ምልክቶች የተለመዱ ናቸው። ቆዳው ከተከፈተ ጫማውን አያድርጉ፤ ወዲያውኑም ለወላጆች ይደውሉ።
nursery-note = እባክዎ ብሬሱ መቼ እንደተደረገ ይጻፉ፤ ማታም ለወላጆች ይንገሩ።

# Diary of the hours
diary-title = የ{ $name } የብሬስ ሰዓታት
diary-how = ለእያንዳንዱ ቀን ብሬሱ የተደረገበት የሰዓት ብዛት ባለበት ሳጥን ላይ የX ምልክት ያድርጉ። ካልተደረገ 0 ላይ ምልክት ያድርጉ፤ ካላወቁ ረድፉን ባዶ ይተዉት።
diary-wrong = ተሳስተዋል? ያን ሳጥን ሙሉ በሙሉ ይሙሉት፤ ከዚያም ትክክለኛው ላይ ምልክት ያድርጉ።
diary-example = ምሳሌ፦ { $hours } ሰዓት
diary-why = እውነተኛዎቹ ሰዓታት እርስዎን እንድንረዳ ያግዙናል። ለመጥፎ ሳምንት ማንም አይወቀስም።
diary-week = ከ{ $day } ጀምሮ ያለው ሳምንት
diary-hours = ሰዓታት
diary-skin = ቆዳው ደህና ነው?
diary-bring = ይህን ገጽ በሚቀጥለው ቀጠሮ ይዘው ይምጡ፤ ወይም ፎቶውን ይላኩልን።
