# Awaits review by a clinician who speaks this language.

# Whose it is.
whose-name = { $name }
whose-born = जन्म: { $day }
whose-number = नंबर { $number }
whose-made = बनाने की तारीख: { $day }, { $clinic }

# The steps on the way.
stage-first-visit = पहली मुलाकात
stage-casts = प्लास्टर
stage-heel-cord = एड़ी की नस
stage-last-cast = आखिरी प्लास्टर
stage-brace-day-and-night = दिन-रात ब्रेस
stage-brace-at-night = रात में ब्रेस
stage-after-brace = आगे की जाँच

you-are-here = { $feet ->
    [left] आप यहाँ हैं: बायाँ पैर
    [right] आप यहाँ हैं: दायाँ पैर
   *[both] आप यहाँ हैं
}

# Headings and labels that every document has.
emergency-head = आज ही इमरजेंसी में आएँ, अगर
emergency-why = ये लक्षण गंभीर हो सकते हैं, इसलिए अगली मुलाकात के दिन तक न रुकें।
ring-head = हमें फ़ोन करें, अगर
telephone-label = हमारा फ़ोन नंबर
telephone-blank = नंबर यहाँ लिखें:
dates-day = दिन
dates-time = समय
dates-what = किसलिए

# Signs for which the child is brought in at once.
emergency-toes = पैर की उँगलियों का रंग गहरा या सफ़ेद हो गया हो, या उँगलियाँ ठंडी हों या सूजी हुई हों
emergency-hidden-toes = पैर की उँगलियाँ अब दिखाई न देती हों
emergency-skin = त्वचा छिल या फट कर खुल गई हो, या उस पर छाला हो
emergency-fever = आपके बच्चे को बुखार हो
emergency-blood = प्लास्टर पर खून का दाग बढ़ता जा रहा हो
emergency-crying = आपके बच्चे का रोना किसी भी तरह शांत न होता हो

# When to ring.
ring-cast-wet = प्लास्टर गीला हो, चटक गया हो या नरम हो गया हो, क्योंकि तब वह पैर को थाम नहीं सकता
ring-cast-loose = प्लास्टर नीचे खिसकता हो या घूमता हो, क्योंकि वह रगड़ सकता है और पैर फिर से मुड़ सकता है
ring-cast-smell = प्लास्टर से बदबू आती हो, या उसके किनारे की त्वचा में जलन या दुखन हो
ring-red = त्वचा की लाली मिटती न हो, क्योंकि वहाँ घाव बन सकता है
ring-heel = एड़ी जूते में नीचे टिकी न रहती हो, क्योंकि तब ब्रेस पैर को थाम नहीं पाता
ring-toes-over = पैर की उँगलियाँ जूते के सिरे से बाहर मुड़ती हों, क्योंकि अब बड़े जूते का समय है
ring-brace-off = ब्रेस एक रात उतरा रहा हो, क्योंकि पैर जल्दी ही फिर से मुड़ सकता है
ring-brace-broken = कोई पट्टा, कोई पेच या छड़ टूट गई हो
ring-foot-turns = पैर फिर से अंदर की ओर मुड़ता हुआ लगता हो, या एड़ी अब ज़मीन को न छूती हो
ring-cannot-come = आप उस दिन आ न सकें: हम जल्दी ही कोई दूसरा दिन तय करेंगे

# The language.
language-name = हिन्दी
translation-awaits-review = यह लेख अनुवाद है, और हिन्दी बोलने वाले किसी डॉक्टर या स्वास्थ्यकर्मी ने इसे अभी तक नहीं जाँचा है। अगर कुछ साफ़ समझ में न आए या गलत लगे, तो हमसे पूछें।

# Named by the clinic, below the plan.
talk-to-head = जिन लोगों से आप बात कर सकते हैं
talk-to-line = { $text }
