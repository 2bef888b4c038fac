# Awaits review by a clinician who speaks this language.

# Whose it is.
whose-name = { $name }
whose-born = تاريخ الميلاد: { $day }
whose-number = الرقم: { $number }
whose-made = كُتبت هذه الورقة يوم { $day }، { $clinic }

# The steps on the way.
stage-first-visit = الزيارة الأولى
stage-casts = الجبس
stage-heel-cord = وتر العرقوب
stage-last-cast = الجبس الأخير
stage-brace-day-and-night = الدعامة نهارًا وليلًا
stage-brace-at-night = الدعامة ليلًا
stage-after-brace = زيارات المتابعة

you-are-here = { $feet ->
    [left] أنتم هنا: القدم اليسرى
    [right] أنتم هنا: القدم اليمنى
   *[both] أنتم هنا
}

# Headings and labels that every document has.
emergency-head = تعالوا إلى الطوارئ اليوم إذا
emergency-why = قد تكون هذه العلامات خطيرة، فلا تنتظروا الزيارة القادمة.
ring-head = اتصلوا بنا إذا
telephone-label = هاتفنا
telephone-blank = اكتبوا الرقم هنا:
dates-day = اليوم
dates-time = الوقت
dates-what = سبب الزيارة

# Signs for which the child is brought in at once.
emergency-toes = كانت أصابع القدم داكنة أو بيضاء أو باردة أو متورّمة
emergency-hidden-toes = لم تعودوا ترون أصابع القدم
emergency-skin = كان الجلد مفتوحًا أو فيه فقاعة
emergency-fever = ارتفعت حرارة طفلكم (حمّى)
emergency-blood = كانت بقعة الدم على الجبس تكبر باستمرار
emergency-crying = كان طفلكم يبكي ولا شيء يهدّئه

# When to ring.
ring-cast-wet = ابتلّ الجبس أو تشقّق أو صار طريًّا، لأنه لم يعد قادرًا على تثبيت القدم
ring-cast-loose = انزلق الجبس إلى أسفل أو دار حول الساق، لأنه قد يحكّ الجلد وقد تعود القدم إلى الالتواء
ring-cast-smell = صارت رائحة الجبس كريهة أو صار الجلد عند حافته متهيّجًا مؤلمًا
ring-red = لم يختفِ احمرار الجلد، لأنه قد يتحوّل إلى قرحة
ring-heel = لم يثبت الكعب إلى أسفل داخل الحذاء، لأن الدعامة عندئذ لا تثبّت القدم
ring-toes-over = انثنت أصابع القدم فوق طرف الحذاء، لأنه حان وقت حذاء أكبر
ring-brace-off = مرّت ليلة من دون الدعامة، لأن القدم قد تعود إلى الالتواء بسرعة
ring-brace-broken = انقطع حزام أو انكسر برغي أو انكسرت العارضة
ring-foot-turns = بدا أن القدم تلتوي إلى الداخل من جديد، أو لم يعد الكعب يلمس الأرض
ring-cannot-come = لم تستطيعوا المجيء في ذلك اليوم: سنجد يومًا آخر قريبًا

language-name = العربية
translation-awaits-review = هذا النص مترجَم، ولم يراجعه بعدُ مختصّ صحي يتحدث العربية. إذا كان فيه شيء غير واضح أو يبدو خطأً فاسألونا.

# Named by the clinic, below the plan.
talk-to-head = أشخاص يمكنكم التحدث إليهم
talk-to-line = { $text }
