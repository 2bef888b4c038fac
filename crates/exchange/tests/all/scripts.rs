//! Sheets in scripts other than the Latin one: headings, sides, sexes and digits. All children invented.

use crate::common::{bodies, day, import};
use exchange::{Meaning, Plan};
use record::{Assessment, Body, Halves, Registration, Sex, Side};
use rstest::rstest;

fn assessments(plan: &Plan) -> Vec<Assessment> {
    bodies(plan, |body| if let Body::Assessment(body) = body { Some(body.clone()) } else { None })
}

fn registrations(plan: &Plan) -> Vec<Registration> {
    bodies(plan, |body| if let Body::Registration(body) = body { Some(body.clone()) } else { None })
}

/// Number, name, birth, sex, visit, side, total: two children, right foot of a boy with 4.5 and left foot
/// of a girl with 3.
#[rstest]
#[case::russian(
    "№ истории болезни;ФИО;Дата рождения;Пол;Дата визита;Сторона;Балл Пирани;Примечания\n\
     17;Орлов Илья;05.01.2024;м;20.01.2024;правая;4,5;нет\n\
     18;Зимина Ася;13.01.2024;женский;29.01.2024;Левая;3;\n"
)]
#[case::arabic(
    "رقم الملف,اسم الطفل,تاريخ الميلاد,الجنس,تاريخ الزيارة,الجهة,مجموع بيراني,ملاحظات\n\
     ١٧,سامي النجار,٠٥/٠١/٢٠٢٤,ذكر,٢٠/٠١/٢٠٢٤,يمين,٤٫٥,\n\
     ١٨,ليلى الحداد,١٣/٠١/٢٠٢٤,أنثى,٢٩/٠١/٢٠٢٤,اليسرى,٣,\n"
)]
#[case::hindi(
    "मरीज संख्या,बच्चे का नाम,जन्म तिथि,लिंग,तारीख,तरफ,पिरानी स्कोर,टिप्पणी\n\
     १७,आरव कुलकर्णी,०५/०१/२०२४,पुरुष,२०/०१/२०२४,दायाँ,४.५,\n\
     १८,मीरा जोशी,१३/०१/२०२४,महिला,२९/०१/२०२४,बाएँ,३,\n"
)]
#[case::bengali(
    "রোগীর নম্বর,শিশুর নাম,জন্ম তারিখ,লিঙ্গ,ভিজিটের তারিখ,আক্রান্ত পা,পিরানি স্কোর,মন্তব্য\n\
     ১৭,রাহাত করিম,০৫/০১/২০২৪,ছেলে,২০/০১/২০২৪,ডান,৪.৫,\n\
     ১৮,মিতু সেন,১৩/০১/২০২৪,মেয়ে,২৯/০১/২০২৪,বাম,৩,\n"
)]
#[case::amharic(
    "የካርድ ቁጥር,ሙሉ ስም,የትውልድ ቀን,ጾታ,ቀን,Side,ፒራኒ,Remarks\n\
     17,አበበ ከበደ,05/01/2024,ወንድ,20/01/2024,ቀኝ,4.5,\n\
     18,ሰላም ታደሰ,13/01/2024,ሴት,29/01/2024,ግራ,3,\n"
)]
#[case::chinese(
    "病历号,姓名,出生日期,性别,就诊日期,侧别,Pirani总分,备注\n\
     17,王 小明,2024年1月5日,男,2024年1月20日,右,4.5,\n\
     18,李 小红,2024年1月13日,女,2024年1月29日,左侧,３,\n"
)]
fn a_sheet_in_its_own_script_is_read(#[case] text: &str) {
    let plan = import(text);
    assert_eq!(plan.report.dispositions.refused, 0, "{:?}", plan.report.not_plain);
    assert_eq!(plan.report.children, 2);
    let known: Vec<_> = plan.report.columns.iter().map(|column| column.meaning).collect();
    let expected = [
        Meaning::Number,
        Meaning::Name,
        Meaning::Born,
        Meaning::Sex,
        Meaning::VisitDate,
        Meaning::Side,
        Meaning::Total,
        Meaning::Remarks,
    ];
    assert_eq!(known, expected.map(Some));
    let feet: Vec<_> = assessments(&plan).iter().map(|a| (a.side, a.stated_total)).collect();
    assert_eq!(feet, [(Side::Right, Some(Halves(9))), (Side::Left, Some(Halves(6)))]);
    let children: Vec<_> = registrations(&plan).iter().map(|r| (r.numbers.clone(), r.born, r.sex)).collect();
    let child = |number: &str, born: &str, sex| (vec![number.to_owned()], Some(day(born)), Some(sex));
    assert_eq!(children, [child("17", "2024-01-05", Sex::Male), child("18", "2024-01-13", Sex::Female)]);
    let seen: Vec<_> =
        plan.entries.iter().filter(|e| matches!(e.body, Body::Assessment(_))).map(|e| e.on).collect();
    assert_eq!(seen, [day("2024-01-20"), day("2024-01-29")]);
}

#[test]
fn the_six_signs_under_russian_and_chinese_headings() {
    for text in [
        "ФИО;Дата визита;Сторона;Задняя складка;Пустая пятка;Ригидный эквинус;Медиальная складка;Латеральный край;Головка таранной кости\n\
         Орлов Илья;20.01.2024;обе;1;1;1;0,5;0,5;0,5\n",
        "姓名;就诊日期;侧别;后侧皱褶;足跟空虚;马蹄僵硬;内侧皱褶;足外侧缘弯曲;距骨头\n\
         王 小明;20.01.2024;双侧;1;1;1;0.5;0.5;0.5\n",
    ] {
        let plan = import(text);
        // 3 × 1 + 3 × 0.5 = 4.5 in each foot.
        let totals: Vec<_> = assessments(&plan).iter().map(|a| (a.side, a.pirani.total())).collect();
        let nine = Some(Halves(9));
        assert_eq!(totals, [(Side::Right, nine), (Side::Left, nine)], "{:?}", plan.report.not_plain);
    }
}

#[test]
fn what_is_not_known_is_left_for_the_map_file() {
    // Operation date: one sign away from the dates of birth and visit, and neither.
    let plan = import("姓名,出生日期,就诊日期,侧别,手术日期\n王 小明,2024-01-05,2024-01-20,右,2024-01-22\n");
    let last = plan.report.columns.last().unwrap();
    assert_eq!((last.meaning, plan.report.children), (None, 1), "{last:?}");
    // A side that is no word for a side is refused, never guessed.
    let plan = import("الاسم,تاريخ الزيارة,الجهة,بيراني\nسامي النجار,2024-01-20,شمالي,4\n");
    assert_eq!(plan.report.dispositions.refused, 1);
}

/// पता is an address, पिता a father; without their vowel signs they would be one word.
#[test]
fn vowel_signs_are_part_of_the_word() {
    let plan = import("नाम,तारीख,पता,पिता,तरफ,पिरानी\nमीरा जोशी,2024-01-20,मार्ग 4,रवि जोशी,दायाँ,4\n");
    assert_eq!(registrations(&plan)[0].address.as_deref(), Some("मार्ग 4"));
}

#[test]
fn ethiopian_dates_look_like_others_and_the_report_says_so() {
    let plan = import("ሙሉ ስም,የትውልድ ቀን,ጾታ,ቀን,Side,ፒራኒ\nአበበ ከበደ,27/04/2016,ወንድ,11/05/2016,ቀኝ,4.5\n");
    assert!(
        plan.report.remarks.iter().any(|remark| remark.contains("Ethiopian dates")),
        "{:?}",
        plan.report.remarks
    );
}

/// A number written in other digits is the same number, and with marks of direction around it as well.
#[test]
fn one_number_in_two_scripts_is_one_child() {
    let plan = import(
        "Hospital no,Name,Visit date,Side,Pirani\n\
         \u{200f}٠٠٤١\u{200e},Amadi Okonjo,2024-01-20,right,٤٫٥\n\
         0041,Amadi Okonjo,2024-01-27,right,۴\n",
    );
    assert_eq!((plan.report.children, assessments(&plan).len()), (1, 2), "{:?}", plan.report.not_plain);
    assert_eq!(registrations(&plan)[0].numbers, ["0041"]);
}
