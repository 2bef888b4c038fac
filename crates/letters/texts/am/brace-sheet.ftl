# Awaits review by a clinician who speaks this language.

brace-title = { $name } እና ብሬሱ
brace-what = ብሬስ በዘንግ የተያያዙ ሁለት ጫማዎች ነው። እግሩን አያንቀሳቅስም። እግሩ እያደገ ሳለ ጄሶዎቹ ያስተካከሉትን ይጠብቃል።
brace-both-feet = ሁለቱም እግሮች ይገቡበታል፤ ፈጽሞ ተጣሞ ያልነበረ እግርም ቢሆን። ዘንጉ አንዱን እግር ለመያዝ ሁለቱም ያስፈልጉታል።

brace-on-knee = ጉልበቱን አጠፍ ያድርጉት። ከዚያ ተረከዙ ይበልጥ በቀላሉ ይወርዳል።
brace-on-heel = ተረከዙ ወደ ታች እስኪወርድ ድረስ እግሩን ወደ ኋላ ይግፉት። ተረከዙን በጫማው ኋላ በኩል ማየት ይችላሉ።
brace-on-middle = በመጀመሪያ በቁርጭምጭሚቱ ላይ የሚያልፈውን መካከለኛ ማሰሪያ ይዝጉ፤ አጥብቀውም ይዝጉት። ተረከዙን የሚይዘው እሱ ነው።
brace-on-others = ከዚያ ሌሎቹን ማሰሪያዎች ይዝጉ። ልክ ሆነው መያዛቸው ብቻ በቂ ነው።
brace-on-check = እግሩን በቀስታ ይሳቡት። ተረከዙ ከተነሳ ማሰሪያዎቹን ይፍቱና እንደገና ይጀምሩ።

brace-settings-head = ለልጅዎ እንዴት እንደተስተካከለ
brace-hours = ሰዓታት
brace-hours-yours = { $hours ->
    [one] በቀን ለ{ $hours } ሰዓት
   *[other] በቀን ለ{ $hours } ሰዓታት
  }
brace-hours-usual = { $hours ->
    [one] እዚህ እንደተለመደው በቀን ለ{ $hours } ሰዓት
   *[other] እዚህ እንደተለመደው በቀን ለ{ $hours } ሰዓታት
  }
brace-bar = ዘንግ
brace-bar-mm = { $mm } ሚ.ሜ.
brace-turned-out = { $foot ->
    [left] የግራ ጫማ ወደ ውጭ የዞረበት
   *[right] የቀኝ ጫማ ወደ ውጭ የዞረበት
  }
brace-degrees = { $deg }°
brace-size = { $foot ->
    [left] የግራ ጫማ
   *[right] የቀኝ ጫማ
  }
brace-size-is = ቁጥር { $size }
brace-size-mm = የውስጥ ርዝመት { $mm } ሚ.ሜ.
brace-settings-leave = እባክዎ ዘንጉንና የጫማዎቹን አቅጣጫ እኛ እንዳስተካከልነው ይተዉት። የተሳሳተ የሚመስል ነገር ካለ ይደውሉልን፤ የተሳሳተ አስተካከል እግሩን ሊጎዳ ይችላል።

brace-every-day-head = በየቀኑ
brace-day-routine = ብሬሱን ለልጅዎ በየቀኑ በተመሳሳይ ሰዓት፣ በተመሳሳይ የልጆች መዝሙር ወይም ተረት ያድርጉ። ልጆች ይበልጥ የሚረጋጉት በሚያውቁት ነገር ነው።
brace-day-socks = ያልተጨማደደ ልሙጥ የጥጥ ካልሲ ይጠቀሙ፤ ምክንያቱም የተጨማደደ ካልሲ ቆዳን ይፍቃል።
brace-day-skin = ጫማዎቹ ሲወልቁ ቆዳውን ይመልከቱ። የሚጠፉ ቀለል ያሉ ቀይ ምልክቶች የተለመዱ ናቸው።
brace-day-no-cream = በቀላ ቆዳ ላይ ክሬም አይቀቡ፤ ክሬም ቆዳውን ያለሰልሰዋል፣ ከዚያም ይበልጥ በቀላሉ ይከፈታል።
brace-day-together = እግሮቹን አንድ ላይ ያንቀሳቅሱ፤ በዘንጉም ይጫወቱ። በዚህም ልጅዎ በሁለቱም እግሮች በአንድ ጊዜ መራገጥን ይማራል።
brace-day-no-walker = ብሬሱን በሕፃን መራመጃ (ዎከር) ወይም ማዝለያ ውስጥ አይጠቀሙ፤ ምክንያቱም የእግር ጣቶቹን ወደ ታች ይገፋሉ።

brace-first-head = የመጀመሪያዎቹ ቀናት
brace-first-days = አብዛኞቹ ልጆች ለአንድ ወይም ለሁለት ቀናት ይነጫነጫሉ። ሕመም የለባቸውም፤ ሁለቱንም እግሮች በአንድ ጊዜ ማንቀሳቀስን መማር አለባቸው። ቆዳውን ይመልከቱ፣ ልጅዎን ያጽናኑ፣ ብሬሱንም አያውልቁ።
brace-first-hold = ብሬሱ ሳይወልቅ በቆየ ቁጥር እየቀለለ ይሄዳል። ሌሊቶቹ አስቸጋሪ እንደሆኑ ከቀጠሉ ይደውሉልን። ይህን ብቻዎን መወጣት አይጠበቅብዎትም።

# What the drawing shows, for those who hear the page.
drawing-heel-and-straps = ሥዕል፦ ከጎን የሚታይ ጫማ፣ ተረከዙ በኋላ በኩል ወደ ታች የወረደ፣ ከሦስቱ ማሰሪያዎች መካከለኛው መጀመሪያ የሚዘጋ
