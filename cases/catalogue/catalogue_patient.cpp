// Catalogue rows of [patient] and of [patient.ray1] .. [patient.ray5].
// The numbers of the default foot stand here and nowhere else: a male foot of 271 mm; a foot of another
// length, male or female, is the same foot scaled by its length.
#include "cases/catalogue/anatomy.hpp"
#include "cases/catalogue/catalogue_rows.hpp"
#include "cases/catalogue/shoe_size.hpp"

namespace raybend {

void add_patient_rows(std::vector<CatalogueRow> &rows) {
  const auto add = [&rows](const CatalogueRow &r) { rows.push_back(r); };
  add(number_row("patient.body_mass_kg", "kg")
          .measured_to(1, "assumed: scales, clothes")
          .deviates(1, "assumed: scales, clothes")
          .needed()
          .within(20, 250)
          .usual(40, 150, "assumed")
          .means("Body mass without load. All forces are multiples of body weight.")
          .from("measured"));
  add(number_row("patient.foot_length_mm", "mm")
          .measured_to(2, "assumed: by hand")
          .deviates(2, "assumed: measured by hand")
          .otherwise("from shoe_size; one of the two must be given")
          .within(150, 350)
          .usual(usual_foot_length(Sex::female).low, usual_foot_length(Sex::male).high)
          .means("Heel to longest toe, standing. Every length of the foot scales with it.")
          .from(
              "measured; usual range is mean +- 3 SD of female 246 +- 12 (210 to 282) and male 271 +- 13 mm "
              "(232 to 310), ANSUR II 2012 (from memory)"));
  add(choice_row("patient.shoe_size_system")
          .otherwise("none: foot_length_mm is given")
          .one_of(shoe_size_systems())
          .means("Shoe size system that shoe_size is counted in; stands for a foot length that was not "
                 "measured.")
          .from(no_number));
  add(number_row("patient.shoe_size", "")
          .otherwise("none: foot_length_mm is given")
          .within(1, 350)
          .measured_to(0.5, "assumed")
          .deviates(0.5, "assumed")
          .means("Shoe size. EU, UK and US sizes count the last, taken 15 mm longer than the foot; "
                 "Mondopoint is the "
                 "foot length in mm.")
          .from("size systems: common practice; 15 mm allowance assumed, spread 10-20 mm"));
  add(choice_row("patient.side")
          .needed()
          .one_of({"left", "right"})
          .means("Which foot is calculated.")
          .from("observed"));
  add(choice_row("patient.sex")
          .needed()
          .one_of({"female", "male"})
          .means(
              "Printed with the case; a foot length unusual for the sex is warned of. The bones scale with "
              "foot length for both sexes alike.")
          .from("observed"));
  add(integer_row("patient.painful_ray", "")
          .needed()
          .within(1, 5)
          .means("The ray whose metatarsal is to be spared; 1 is the big-toe side.")
          .from("observed"));
  add(choice_list_row("patient.also_painful")
          .otherwise("none")
          .one_of({"ray1", "ray2", "ray3", "ray4", "ray5"})
          .means("Further rays that hurt. Designs are ranked by painful_ray; of these it is told which "
                 "design spares them most and "
                 "whether that is the same one.")
          .from("observed")
          .written("also_painful = \"ray3\", or of several also_painful = [\"ray3\", \"ray4\"]"));
  add(choice_row("patient.painful_place")
          .otherwise("shaft")
          .one_of(painful_place_names())
          .means("Where along the painful rays it hurts: strain counts from 15 to 85 % of the length "
                 "(shaft), 15 to 40 % (base) or 65 to "
                 "85 % (neck). Nearer the joints, and in the tuberosity of the fifth ray, the model has no "
                 "bone that could be read.")
          .from("observed; limits chosen"));
  add(choice_list_row("patient.foot_form")
          .otherwise("standard")
          .one_of(foot_form_names())
          .means("Named foot forms, each a shortcut that sets several lengths and angles; see `raybend "
                 "explain FORM`.")
          .from("assumed")
          .written(
              "foot_form = \"high-arch\", or of several foot_form = [\"high-arch\", \"short-first-ray\"]"));
  add(number_row("patient.forefoot_width_mm", "mm")
          .otherwise("follows from the rays: 93 mm, scales with foot length")
          .within(55, 150)
          .usual(75, 125, "assumed")
          .measured_to(2, "assumed: by hand")
          .means("Skin to skin across the heads of MT1 and MT5. Scales the spacing of heads and bases and "
                 "the margins.")
          .from("breadth about 0.38 of foot length, ANSUR II 2012 (from memory); the default foot is 9 % "
                "narrower: its skin is drawn close to the heads"));
  add(number_row("patient.arch_rise_mm", "mm")
          .otherwise("16 at ray 2, scales with foot length")
          .within(1, 40)
          .usual(6, 30)
          .measured_to(2, "assumed: cast or scan")
          .means("Height of the unloaded plantar skin at the base of MT2 above the skin under its head; the "
                 "other rays "
                 "rise in proportion.")
          .from("assumed"));
  add(number_row("patient.tissue_stiffness", "")
          .otherwise(1)
          .within(0.2, 5)
          .usual(0.5, 1.5)
          .means("Factor on the stiffness of the plantar soft tissue.")
          .from("+-50 % between regions and people: Ledoux 2007 (from memory)"));
  add(number_row("patient.medial_margin_mm", "mm")
          .varies(8, 16, "assumed")
          .otherwise(12)
          .within(2, 30)
          .means("Skin medial of the centre of MT1's head, and at least 3 mm beyond its side. Scales with "
                 "foot length.")
          .from("assumed"));
  add(number_row("patient.lateral_margin_mm", "mm")
          .varies(6, 12, "assumed")
          .otherwise(9)
          .within(2, 30)
          .means("Skin lateral of the centre of MT5's head, and at least 3 mm beyond its side. Scales with "
                 "foot length.")
          .from("assumed"));
  add(number_row("patient.fascia_anchor_behind_mm", "mm")
          .deviates(8, "assumed")
          .otherwise("0.53 of foot length")
          .within(60, 250)
          .means("Origin of the plantar fascia on the heel bone, proximal of MT2's head.")
          .from("assumed"));
  add(number_row("patient.ankle_roll_stiffness_nm_per_deg", "N m/deg")
          .otherwise(1.0)
          .within(0, 1000)
          .usual(0.3, 3, "assumed")
          .means(
              "How stiffly ankle and subtalar joint hold the midfoot against roll when the insole changes.")
          .from("frontal ankle stiffness of active muscles 20-60 N m/rad: Lee & Hogan 2014 (from memory)"));
  add(number_row("patient.ankle_pitch_stiffness_nm_per_deg", "N m/deg")
          .otherwise(5.0)
          .within(0, 1000)
          .usual(2, 10, "assumed")
          .means("The same against pitch.")
          .from("ankle quasi-stiffness in late stance 200-500 N m/rad: Shamaei 2013, "
                "10.1371/journal.pone.0059935 "
                "(title read, numbers from memory)"));
  add(number_row("patient.fascia_anchor_height_mm", "mm")
          .deviates(5, "assumed")
          .otherwise(20)
          .within(0, 60)
          .means("Height of the plantar fascia's origin on the heel bone above the plantar skin. Scales with "
                 "foot length.")
          .from("assumed"));
}

void add_ray_rows(std::vector<CatalogueRow> &rows) {
  const std::string with_length = "scales with foot length (mm at 271 mm)";
  const auto add = [&rows](const CatalogueRow &r) { rows.push_back(r); };
  const auto mm = [](const std::string &name) { return number_row("patient.rayN." + name, "mm"); };
  add(mm("length_mm")
          .per_ray({56, 68, 65, 64, 60}, with_length)
          .within(25, 110)
          .usual_per_ray({{40, 70}, {53, 80}, {51, 77}, {50, 76}, {46, 72}})
          .measured_to(1, "assumed: X-ray from above")
          .means("Base of the metatarsal to the centre of its head, along the axis.")
          .from("dry-bone lengths 63, 75, 71, 69, 63 mm less half a head (from memory); MT1 56.4 +- 4.4 "
                "male, 50.1 +- 3.1 "
                "female: PMC5713710 (read)"));
  add(mm("head_behind_mt2_mm")
          .per_ray({-0.94, 0, 4.44, 11.17, 20.21}, with_length)
          .within(-20, 50)
          .usual_per_ray({{-9.1, 7.2}, {0, 0}, {-0.5, 9.4}, {4.5, 17.8}, {8.9, 31.6}})
          .measured_to(0.7, "assumed: X-ray from above")
          .means("How far the head lies proximal of MT2's head (metatarsal parabola); negative is distal. "
                 "Ray 2 is the "
                 "origin and takes 0 only.")
          .from("Dominguez-Maldonado 2014 (read); usual range is its mean +- 3 SD"));
  add(mm("head_medial_of_mt2_mm")
          .per_ray({25, 0, -16, -31.5, -46.5}, with_length)
          .within(-75, 45)
          .usual_per_ray({{19, 31}, {0, 0}, {-20, -12}, {-39, -24}, {-57, -36}})
          .means("Place of the head's centre across the foot, from the centre of MT2's head; positive is "
                 "medial of it. Ray 2 takes 0 only.")
          .from("spacing 24 and 15-17 mm: general anatomy (from memory, shaky)"));
  add(mm("base_medial_of_mt2_mm")
          .per_ray({18, 0, -13.5, -27, -41}, with_length)
          .within(-65, 40)
          .deviates(1.5, "assumed")
          .means("Place of the base's centre across the foot, from the centre of MT2's base; positive is "
                 "medial of it. Ray 2 takes 0 only.")
          .from("assumed splay"));
  add(number_row("patient.rayN.declination_deg", "deg")
          .per_ray({20, 15, 12, 9, 7}, "")
          .within(0, 40)
          .usual_per_ray({{15, 28}, {10, 25}, {5, 18}, {3, 15}, {1, 12}})
          .measured_to(1.5, "assumed: X-ray from the side, standing")
          .means("Angle of the metatarsal's axis to the ground, standing.")
          .from("Kapandji, Physiology of the Joints (from memory: 20, 15, 10, 8, 5); MT1 20-21 deg: "
                "Radiopaedia (read); MT3, "
                "MT4 calibrated within +-3 degrees; ranges assumed"));
  add(mm("camber_mm")
          .per_ray({1.0, 2.0, 2.0, 1.8, 1.5}, with_length)
          .within(0, 6)
          .means("Dorsal convexity of the metatarsal's axis: how far it rises at mid-length above the line "
                 "from base to head.")
          .from("assumed"));
  add(mm("shaft_width_mm")
          .per_ray({13, 8, 8, 8, 9.5}, with_length)
          .within(4, 22)
          .usual_per_ray({{10, 16}, {6, 10.5}, {6, 10.5}, {6, 10.5}, {7, 12.5}})
          .measured_to(0.4, "assumed: X-ray")
          .means("Width of the metatarsal's shaft at mid-length, mediolateral.")
          .from("general CT picture (from memory); ranges assumed"));
  add(mm("shaft_height_mm")
          .per_ray({13.5, 8.5, 8.5, 8.5, 8}, with_length)
          .within(4, 22)
          .usual_per_ray({{10.5, 16.5}, {6.5, 11}, {6.5, 11}, {6.5, 11}, {6, 10.5}})
          .measured_to(0.4, "assumed: X-ray")
          .means("Height of the metatarsal's shaft at mid-length, dorsoplantar. Bending strength goes with "
                 "its square.")
          .from("general CT picture (from memory); ranges assumed"));
  add(mm("cortex_mm")
          .per_ray({2.2, 2.0, 1.9, 1.8, 1.9}, with_length)
          .within(0.6, 5)
          .usual_per_ray({{1.7, 2.9}, {1.5, 2.7}, {1.4, 2.6}, {1.3, 2.5}, {1.4, 2.6}})
          .measured_to(0.2, "assumed: X-ray")
          .means("Thickness of the cortical bone at mid-shaft.")
          .from("general CT picture, +-0.5 mm (from memory)"));
  add(mm("head_width_mm")
          .per_ray({20, 11, 11, 11, 11.5}, with_length)
          .within(6, 30)
          .usual_per_ray({{16, 25}, {9, 14}, {9, 14}, {9, 14}, {9, 14}})
          .means("Width of the metatarsal's head, mediolateral.")
          .from("MT1 20-22, MT2-4 10-12, MT5 11-12 mm: general anatomy (from memory)"));
  add(mm("head_height_mm")
          .per_ray({19, 16.1, 15, 14, 13}, with_length)
          .within(7, 30)
          .usual_per_ray({{15, 23}, {13.4, 19.4}, {12, 18.4}, {11, 17.4}, {10.3, 16.1}})
          .means("Height of the metatarsal's head, dorsoplantar.")
          .from("MT2 16.1 falling to MT5 13.0, no sex effect: Fraser 2017 (read); MT1 assumed"));
  add(mm("base_width_mm")
          .per_ray({17, 12.5, 12, 12, 13.5}, with_length)
          .within(6, 30)
          .means("Width of the proximal face of the metatarsal's base, mediolateral.")
          .from("assumed"));
  add(mm("base_height_mm")
          .per_ray({22, 17, 16, 15, 13}, with_length)
          .within(6, 35)
          .means("Height of the proximal face of the metatarsal's base, dorsoplantar.")
          .from("assumed"));
  add(mm("tissue_under_head_mm")
          .per_ray({13, 14, 14, 13, 11}, with_length)
          .within(3, 30)
          .usual_per_ray({{5.5, 15}, {8, 16}, {8, 16}, {7, 15}, {4, 13}})
          .measured_to(0.5, "assumed: ultrasound")
          .means("Thickness of the plantar soft tissue under the metatarsal's head, unloaded.")
          .from("MT2 15.2 mm: Cavanagh 1999 (read); MT1 8.5 and MT5 5.5 mm over 60 years: Mickle 2011 "
                "(read); others assumed"));
  add(mm("tissue_over_shaft_mm")
          .per_ray({5, 5, 5, 5, 5}, with_length)
          .within(1, 20)
          .means("Thickness of the dorsal soft tissue over the metatarsal's shaft.")
          .from("assumed"));
  add(mm("arch_rise_mm")
          .per_ray({16, 16, 13, 9, 5}, with_length)
          .within(0, 40)
          .means("Height of the unloaded plantar skin at this ray's base above the skin under its head.")
          .from("assumed"));
  add(number_row("patient.rayN.mobility_deg", "deg")
          .per_ray({18, 0.4, 2.2, 6, 10}, "")
          .within(0.1, 25)
          .usual_per_ray({{1, 18}, {0.2, 2}, {0.5, 4}, {4, 16}, {4, 16}})
          .means("Sagittal mobility of the tarsometatarsal joint, whole range. A stiff joint holds the ray "
                 "like a "
                 "cantilever.")
          .from("MT1: 14 mm of its head under +-50 N, five cadavers, FAI 2008;29:72 (read); MT2, MT3 "
                "Ouzounian & Shereff 1989 "
                "(from memory: 3.5, 0.6, 1.6, 9.6, 10.2); MT2 to MT5 calibrated within the ranges, as MT5's "
                "joint moves more "
                "than MT1's in life (read); ranges assumed"));
  add(number_row("patient.rayN.fascia_share", "")
          .deviates(0.05, "assumed")
          .per_ray({0.26, 0.28, 0.22, 0.15, 0.09}, "")
          .within(0, 1)
          .means("Part of the plantar fascia's pull in this ray's slip. The five sum to 1: those not given "
                 "share the rest.")
          .from("by area 0.30, 0.24, 0.19, 0.15, 0.11, Chen 2014 (read, derived); slips 2 and 3 the thickest "
                "in life, Qian 2021 "
                "(read); calibrated, slip 2 above its part by area"));
  add(number_row("patient.rayN.toe_share", "")
          .deviates(0.05, "assumed")
          .per_ray({0.70, 0.12, 0.08, 0.06, 0.04}, "")
          .within(0, 1)
          .means("Part of the toes' load under this toe. The five sum to 1: those not given share the rest.")
          .from("great toe to lesser toes 75:33 N: platform data, PMC8275713 (read); split among toes 2-5 "
                "assumed"));
  add(number_row("patient.rayN.flexor_share", "")
          .per_ray({0.48, 0.18, 0.16, 0.12, 0.06}, "")
          .deviates(0.03, "assumed")
          .within(0, 1)
          .means("Part of the toe flexors' whole pull in this ray's tendons. The five sum to 1: those not "
                 "given share the "
                 "rest.")
          .from("ray 1 0.77-0.88 and ray 2 0.19-0.22 body weights, Jacob 2001 (from memory); ray 3 about as "
                "strong as "
                "ray 2, ray 5 half (from memory); calibrated within these to row 3 and to MT3 as strained as "
                "MT2"));
  add(mm("toe_lever_mm")
          .per_ray({38, 36, 33, 30, 26}, with_length)
          .within(8, 60)
          .means("Distance from the metatarsophalangeal joint to the toe's centre of pressure.")
          .from(
              "under the toe's tip: first proximal phalanx 28.0 mm male, PMC5713710 (read), and half of the "
              "rest; others assumed"));
  add(mm("flexor_lever_mm")
          .per_ray({12, 8, 8, 7, 7}, with_length)
          .within(3, 20)
          .means("Moment arm of the toe flexors at the metatarsophalangeal joint. A short arm needs a larger "
                 "pull, which "
                 "presses the metatarsal along its axis. The fascia, which passes to the toes too, has the "
                 "same.")
          .from("assumed"));
  add(number_row("patient.rayN.toe_joint_n_mm_per_deg", "N mm/deg")
          .per_ray({67, 11, 6.6, 4.5, 2.6}, "")
          .within(0.5, 400)
          .deviates_by_part(0.5, "assumed")
          .means("Stiffness of the toe's joint against being bent up, as muscles and fascia hold it in a "
                 "step. It says how "
                 "much more or less a toe carries on another insole than on the reference.")
          .from("derived: from 70 to 85 % of stance toes are bent up by 17 degrees more and carry 0.06 body "
                "weights more (two "
                "people, shod, computed from public measurements), shared as toe_share says; muscles at rest "
                "the great "
                "toe's resists by 14.9 +- 14.6, Man 2016, J Foot Ankle Res (read)"));
}

} // namespace raybend
