# Awaits review by a clinician who speaks this language.

# Whose it is.
whose-name = { $name }
whose-born = የትውልድ ቀን፦ { $day }
whose-number = ቁጥር፦ { $number }
whose-made = የተዘጋጀው፦ { $day }፣ { $clinic }

# The steps on the way.
stage-first-visit = የመጀመሪያ ቀጠሮ
stage-casts = ጄሶ
stage-heel-cord = የተረከዝ ጅማት
stage-last-cast = የመጨረሻ ጄሶ
stage-brace-day-and-night = ብሬስ ቀንና ሌሊት
stage-brace-at-night = ብሬስ በሌሊት
stage-after-brace = ክትትል

you-are-here = { $feet ->
    [left] አሁን ያሉት እዚህ ነው፦ የግራ እግር
    [right] አሁን ያሉት እዚህ ነው፦ የቀኝ እግር
   *[both] አሁን ያሉት እዚህ ነው
}

# Headings and labels that every document has.
emergency-head = ከሚከተሉት አንዱ እንኳ ካለ ዛሬውኑ ወደ ድንገተኛ ሕክምና ይምጡ
emergency-why = እነዚህ ምልክቶች ከባድ ሊሆኑ ይችላሉ፤ ስለዚህ የሚቀጥለውን ቀጠሮ አይጠብቁ።
ring-head = ከሚከተሉት አንዱ ካጋጠመ ይደውሉልን
telephone-label = ስልካችን
telephone-blank = ቁጥሩን እዚህ ይጻፉ፦
dates-day = ቀን
dates-time = ሰዓት
dates-what = ለምን

# Signs for which the child is brought in at once.
emergency-toes = የእግር ጣቶቹ ጠቁረዋል፣ ነጥተዋል፣ ቀዝቅዘዋል ወይም አብጠዋል
emergency-hidden-toes = የእግር ጣቶቹ መታየት አቁመዋል
emergency-skin = ቆዳው ተከፍቷል ወይም ውሃ ቋጥሯል
emergency-fever = ልጅዎ ትኩሳት አለው
emergency-blood = ጄሶው ላይ ያለው የደም እድፍ እየሰፋ መሄዱን ቀጥሏል
emergency-crying = ልጅዎ ያለቅሳል፤ ለቅሶውን ምንም ነገር ሊያስቆመው አልቻለም

# When to ring.
ring-cast-wet = ጄሶው ረጥቧል፣ ተሰንጥቋል ወይም ለስልሷል፤ ምክንያቱም ከእንግዲህ እግሩን መያዝ አይችልም
ring-cast-loose = ጄሶው ወደ ታች ይንሸራተታል ወይም ይዞራል፤ ምክንያቱም ቆዳውን ሊፍቅ፣ እግሩም ተመልሶ ሊጣመም ይችላል
ring-cast-smell = ጄሶው መጥፎ ሽታ አለው ወይም በጠርዙ ያለው ቆዳ ተቆጥቶ ያማል
ring-red = የቆዳው መቅላት አይጠፋም፤ ምክንያቱም ወደ ቁስል ሊለወጥ ይችላል
ring-heel = ተረከዙ በጫማው ውስጥ ወደ ታች እንደወረደ አይቆይም፤ ምክንያቱም እንዲህ ሲሆን ብሬሱ እግሩን አይይዝም
ring-toes-over = የእግር ጣቶቹ ከጫማው ጫፍ አልፈው ይታጠፋሉ፤ ምክንያቱም ተለቅ ያለ ጫማ የሚያስፈልግበት ጊዜ ደርሷል
ring-brace-off = ብሬሱ ለአንድ ሌሊት ሳይደረግ አድሯል፤ ምክንያቱም እግሩ በፍጥነት ተመልሶ ሊጣመም ይችላል
ring-brace-broken = ማሰሪያ ተበጥሷል፣ ወይም ብሎን ወይም ዘንጉ ተሰብሯል
ring-foot-turns = እግሩ እንደገና ወደ ውስጥ የሚዞር ይመስላል፣ ወይም ተረከዙ ወለሉን መንካት አቁሟል
ring-cannot-come = በቀጠሮው ቀን መምጣት አይችሉም፤ በቅርቡ ሌላ ቀን እናገኛለን

language-name = አማርኛ
translation-awaits-review = ይህ ጽሑፍ ተተርጉሟል፤ ቋንቋውን የሚናገር የሕክምና ባለሙያ ገና አልመረመረውም። ግልጽ ያልሆነ ወይም የተሳሳተ የሚመስል ነገር ካለ ይጠይቁን።

# Named by the clinic, below the plan.
talk-to-head = ሊያነጋግሯቸው የሚችሉ ሰዎች
talk-to-line = { $text }
