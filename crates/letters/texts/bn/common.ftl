# Awaits review by a clinician who speaks this language.

# Whose it is.
whose-name = { $name }
whose-born = জন্ম: { $day }
whose-number = নম্বর { $number }
whose-made = তৈরির তারিখ: { $day }, { $clinic }

# The steps on the way.
stage-first-visit = প্রথমবার আসা
stage-casts = প্লাস্টার
stage-heel-cord = গোড়ালির রগ
stage-last-cast = শেষ প্লাস্টার
stage-brace-day-and-night = দিনে-রাতে ব্রেস
stage-brace-at-night = রাতে ব্রেস
stage-after-brace = পরের চেক-আপ

you-are-here = { $feet ->
    [left] আপনারা এখানে আছেন: বাঁ পা
    [right] আপনারা এখানে আছেন: ডান পা
   *[both] আপনারা এখানে আছেন
}

# Headings and labels that every document has.
emergency-head = আজই জরুরি বিভাগে (ইমার্জেন্সিতে) আসুন, যদি
emergency-why = এই লক্ষণগুলো গুরুতর হতে পারে, তাই পরের বার আসার দিন পর্যন্ত অপেক্ষা করবেন না।
ring-head = আমাদের ফোন করুন, যদি
telephone-label = আমাদের ফোন নম্বর
telephone-blank = নম্বরটি এখানে লিখুন:
dates-day = দিন
dates-time = সময়
dates-what = কীসের জন্য

# Signs for which the child is brought in at once.
emergency-toes = পায়ের আঙুল কালচে বা সাদা হয়ে যায়, ঠান্ডা হয়ে যায়, বা ফুলে যায়
emergency-hidden-toes = পায়ের আঙুল আর দেখা না যায়
emergency-skin = চামড়া ছিলে বা ফেটে খুলে যায়, বা ফোসকা পড়ে
emergency-fever = আপনার শিশুর জ্বর হয়
emergency-blood = প্লাস্টারের উপর রক্তের দাগ বাড়তেই থাকে
emergency-crying = আপনার শিশু কাঁদতে থাকে আর কিছুতেই শান্ত না হয়

# When to ring.
ring-cast-wet = প্লাস্টার ভিজে যায়, ফেটে যায় বা নরম হয়ে যায়, কারণ তখন তা পা আর ধরে রাখতে পারে না
ring-cast-loose = প্লাস্টার নিচে নেমে যায় বা ঘুরে যায়, কারণ তা ঘষা দিতে পারে আর পা আবার বেঁকে যেতে পারে
ring-cast-smell = প্লাস্টার থেকে দুর্গন্ধ আসে, বা তার কিনারার চামড়ায় জ্বালা বা ব্যথা হয়
ring-red = চামড়ার লাল ভাব মিলিয়ে না যায়, কারণ সেখানে ঘা হতে পারে
ring-heel = গোড়ালি জুতার ভেতরে নিচে না থাকে, কারণ তখন ব্রেস পা ধরে রাখে না
ring-toes-over = পায়ের আঙুল জুতার মাথা ছাড়িয়ে বেঁকে বেরিয়ে আসে, কারণ তখন বড় জুতার সময় হয়েছে
ring-brace-off = এক রাত ব্রেস খোলা থাকে, কারণ পা তাড়াতাড়ি আবার বেঁকে যেতে পারে
ring-brace-broken = কোনো বেল্ট ছিঁড়ে যায়, বা কোনো স্ক্রু বা রডটি ভেঙে যায়
ring-foot-turns = পা আবার ভেতরের দিকে বেঁকে যাচ্ছে বলে মনে হয়, বা গোড়ালি আর মেঝে না ছোঁয়
ring-cannot-come = আপনারা ঠিক করা দিনে আসতে না পারেন: আমরা শিগগিরই অন্য একটি দিন ঠিক করব

# The language.
language-name = বাংলা
translation-awaits-review = এই লেখাটি অনুবাদ করা, এবং বাংলা জানেন এমন কোনো চিকিৎসক বা স্বাস্থ্যকর্মী এখনও এটি যাচাই করেননি। কিছু বুঝতে অসুবিধা হলে বা ভুল মনে হলে আমাদের জিজ্ঞাসা করুন।

# Named by the clinic, below the plan.
talk-to-head = যাঁদের সঙ্গে আপনারা কথা বলতে পারেন
talk-to-line = { $text }
