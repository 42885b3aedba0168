// Catalogue rows of [activity], [bone], [tissue] and [mesh].
#include "cases/catalogue/activities.hpp"
#include "cases/catalogue/catalogue_rows.hpp"
#include "cases/catalogue/materials.hpp"
#include "cases/catalogue/shoes.hpp"
#include "cases/words/words.hpp"
#include "geometry/forefoot.hpp"
#include "geometry/shoe.hpp"
#include "solver/loads.hpp"
#include "solver/settings.hpp"

namespace raybend {

namespace {

// Plantar tissue: E = 3 mu of 0.15 MPa as published for small strain (Gefen, Ledoux & Blevins 2007; 0.158 from the
// constants of Lemmon 1997; both from memory), stiffening so that the pad under MT2's head loses 35-55 % of its
// thickness in walking push-off (Cavanagh 1999, read: 45.7 %).
constexpr double tissue_mu_mpa = 0.05;
constexpr double tissue_stiffening = 3;
constexpr double tissue_bulk_mpa = 1;

std::string by_activity(double Activity::*member) {
  std::vector<std::string> words;
  for (const NamedActivity &n : named_activities())
    words.push_back(n.activity.name + " " + number_text(n.activity.*member));
  return list_text(words);
}

const char *const see_activity = "per activity; see `raybend explain ACTIVITY` for each number's source";

} // namespace

void add_activity_rows(std::vector<CatalogueRow> &rows) {
  const auto add = [&rows](const CatalogueRow &r) { rows.push_back(r); };
  add(choice_row("activity.kind")
          .otherwise("walking")
          .one_of(activity_names())
          .means("What the foot does. Walking, carrying, running and stairs are whole steps, of which the "
                 "instants that "
                 "matter are solved; the others are one instant.")
          .from(no_number));
  add(label_row("activity.name")
          .otherwise("its kind")
          .means("Name of one of several activities of a day, in tables, file names and --set. Names differ.")
          .from(no_number));
  add(number_row("activity.force_bw", "body weights")
          .into(&Activity::force_bw)
          .otherwise(by_activity(&Activity::force_bw))
          .deviates_by_part(0.07, "people at one activity and speed: assumed")
          .within(0.02, 6)
          .usual(0.1, 3.5, "assumed")
          .means("Total vertical force on forefoot and toes, in weights of body and carried load together.")
          .from(see_activity));
  add(number_row("activity.speed_m_s", "m/s")
          .otherwise("walking 1.3; running: force as listed")
          .within(0.6, 8)
          .usual(0.8, 4.5)
          .means("Speed of walking or running. Running: force from 2.2 body weights at 3 m/s to 2.8 at 4.5 "
                 "m/s; walking: "
                 "late peak and forward part grow with it.")
          .from("running: Cavanagh & Lafortune 1980 (from memory); walking: assumed"));
  add(number_row("activity.at_percent", "% of stance")
          .otherwise("the instants that matter over the step")
          .within(0, 100)
          .deviates(2, "assumed")
          .means("One instant alone, this far through stance, of an activity that is a whole step: within "
                 "its course (walking 60 to 90).")
          .from(no_number));
  add(text_row("activity.course_file")
          .otherwise("none")
          .means("A laboratory's own course: a CSV file beside the case, its columns named as the keys of "
                 "[[activity.course]].")
          .from(no_number));
  const auto course = [&](const char *name, const char *unit, const double low, const double high,
                          const char *words) {
    add(number_row(std::string("activity.course[].") + name, unit)
            .otherwise("of the kind")
            .within(low, high)
            .deviates((high - low) / 20, "assumed")
            .means(words)
            .from(see_activity));
  };
  course("stance_percent", "% of stance", 0, 100, "When in stance: 0 is first contact, 100 toe-off.");
  rows.back().needed();
  add(boolean_row("activity.course[].solve_first")
          .otherwise("three instants about the largest force")
          .means("This instant is solved before others are asked for.")
          .from(no_number));
  course("force_bw", "body weights", 0.02, 6, "Vertical force on forefoot and toes then.");
  course("forward_share", "", -0.5, 0.5, "Its forward part, as part of the vertical one.");
  course("heel_rise_deg", "deg", 0, 45, "Angle between foot and ground then.");
  course("toe_share", "", 0, 0.5, "Part of the force that is under the toes.");
  course("flexor_effort", "", 0, 40, "Pull of the toe flexors over what the toes' load asks for then.");
  course("fascia_bw", "body weights", 0, 4, "Tension of the plantar fascia before it is stretched further.");
  add(number_row("activity.toe_share", "")
          .into(&Activity::toe_share)
          .otherwise(by_activity(&Activity::toe_share))
          .deviates_by_part(0.25, "people at one activity: assumed")
          .within(0, 0.5)
          .usual(0, 0.35, "assumed")
          .means("Part of the force on forefoot and toes (force_bw) that is under the toes: 0.2 is a fifth.")
          .from(see_activity));
  add(number_row("activity.heel_rise_deg", "deg")
          .into(&Activity::heel_rise_deg)
          .otherwise(by_activity(&Activity::heel_rise_deg))
          .deviates(3, "people at one instant: assumed")
          .measured_to(2, "assumed: film from the side")
          .within(0, 45)
          .usual(0, 30, "assumed")
          .means("Angle between foot and ground about the line of the heads.")
          .from(see_activity));
  add(number_row("activity.forward_share", "")
          .into(&Activity::forward_share)
          .otherwise(by_activity(&Activity::forward_share))
          .deviates(0.03, "people at one instant: assumed")
          .within(-0.5, 0.5)
          .usual(-0.1, 0.3, "assumed")
          .means("Forward part of the ground's force on the foot, as part of its vertical one; negative "
                 "brakes. It bends the metatarsals more.")
          .from(see_activity));
  add(number_row("activity.fascia_bw", "body weights")
          .into(&Activity::fascia_bw)
          .otherwise(by_activity(&Activity::fascia_bw))
          .deviates_by_part(0.3, "people: assumed")
          .within(0, 4)
          .usual(0, 2.5)
          .means("Tension of the whole plantar fascia before the calculated load stretches it further: in "
                 "walking by a few per cent. It unloads the shafts.")
          .from("push-off: so that the whole tension lies between 0.96 body weights (Erdemir 2004, read) and "
                "1.5 "
                "(Caravaggi 2009, read); others assumed"));
  add(number_row("activity.flexor_effort", "")
          .into(&Activity::flexor_effort)
          .otherwise(by_activity(&Activity::flexor_effort))
          .deviates_by_part(0.25, "assumed")
          .within(0, 12)
          .usual(1, 6, "assumed")
          .means(
              "Pull of the toe flexors over what the toes' load asks for by statics: they work against the "
              "toes' extensors too. 1 is just that. It unloads the shafts.")
          .from(see_activity));
  add(number_row("activity.carried_kg", "kg")
          .into(&Activity::carried_kg)
          .otherwise(by_activity(&Activity::carried_kg))
          .within(0, 100)
          .usual(0, 40, "assumed")
          .means("Mass carried on body or in hands.")
          .from(see_activity));
  add(number_row("activity.steps_per_hour", "1/h, both feet")
          .into(&Activity::steps_per_hour)
          .otherwise(by_activity(&Activity::steps_per_hour))
          .within(0, 15000)
          .usual(0, 12000, "assumed")
          .means("Steps in an hour of the day's work or run, both feet together; one foot makes half.")
          .from("633 (lawyer) to 1900 (mail carrier) an hour of work: ACE / U Wisconsin 2007 (read); "
                "running: cadence "
                "(from memory)"));
  add(number_row("activity.hours_per_day", "h")
          .deviates(1, "assumed")
          .into(&DayActivity::hours_per_day)
          .otherwise(DayActivity().hours_per_day)
          .within(0, 24)
          .means(
              "Hours of this activity on a full day; with the steps an hour it gives the day's load cycles. "
              "Must be given where a day has several activities; together they have at most 24 h.")
          .from("assumed"));
  add(choice_row("activity.posture")
          .into(&Activity::posture)
          .otherwise("ankle")
          .one_of({"ankle", "kept", "moment-kept"})
          .means("What a person does when the insole changes: the ankle's stiffness lets the midfoot turn "
                 "about the "
                 "posture that the reference takes (ankle); or one of the two limits, posture kept or "
                 "moments kept.")
          .from("the two limits hold what a person may do (assumed)"));
  add(boolean_row("activity.free_midfoot_roll")
          .into(&Activity::free_roll)
          .otherwise("true; running: false")
          .means("The midfoot may roll about the foot's long axis until the load balances.")
          .from("assumed"));
  add(number_row("activity.force_line_medial_mm", "mm")
          .into(&Activity::line_medial)
          .otherwise("from the foot: -6 in push-off, -9 standing")
          .deviates(3, "people: assumed")
          .measured_to(2, "assumed: pressure plate")
          .within(-60, 40)
          .usual(-20, 10, "assumed")
          .means("Where the force's line of action passes, medial (lateral: negative) of the second head. "
                 "By default the centre of published loads at this foot's heads, with the activity's toe "
                 "share at "
                 "its rays.")
          .from("head loads in walking: PMC8275713 (read), taken for every activity (assumed)"));
  add(boolean_row("activity.flexors")
          .into(&Activity::flexors)
          .otherwise("true")
          .means("Toe flexor tendons pull; false cuts them, as cadaver tests do.")
          .from(no_number));
  add(boolean_row("activity.fascia")
          .into(&Activity::fascia)
          .otherwise("true")
          .means("The plantar fascia pulls; false cuts it, as cadaver tests do.")
          .from(no_number));
  add(boolean_row("activity.clamped_bases")
          .into(&Activity::clamped_bases)
          .otherwise("false")
          .means(
              "The bases are held a thousand times stiffer than the joints are: the cantilever of textbooks.")
          .from(no_number));
  add(boolean_row("activity.barefoot")
          .into(&Activity::barefoot)
          .otherwise("false")
          .means("Rigid ground under the skin; a stiff board (5 mm, E 1000 MPa) takes every design's place.")
          .from(no_number));
}

void add_shoe_rows(std::vector<CatalogueRow> &rows) {
  const auto add = [&rows](const CatalogueRow &r) { rows.push_back(r); };
  const std::string of_kind = "of the kind", see = "per kind; see `raybend explain shoes`";
  add(choice_row("shoe.kind")
          .otherwise("light")
          .one_of(shoe_names())
          .means("The shoe that every design is worn in; a design may have a [designs.shoe] of its own.")
          .from(no_number));
  add(number_row("shoe.ball_stiffness_nm_per_deg", "N m/deg")
          .into(&Shoe::ball_stiffness)
          .otherwise(of_kind)
          .within(0, 6)
          .usual(0.1, 4, "from memory")
          .deviates_by_part(0.3, "shoes of one kind: assumed")
          .means("Bending stiffness of the sole at the ball, of the shoe alone, over 60 mm of its length.")
          .from(see));
  add(number_row("shoe.shank_e_mpa", "MPa")
          .into(&Shoe::shank_e)
          .otherwise(of_kind)
          .within(0, 5000)
          .varies(0, 600, "assumed")
          .means("What a shank adds to the sole's modulus along the foot, over its whole thickness; 0: no "
                 "shank.")
          .from(see));
  add(number_row("shoe.shank_behind_heads_mm", "mm")
          .deviates(5, "assumed")
          .into(&Shoe::shank_from)
          .otherwise(15)
          .within(-20, 60)
          .means("Where the shank ends, behind the line of the heads.")
          .from("common practice, no source"));
  add(number_row("shoe.upper_n", "N")
          .into(&Shoe::upper_force)
          .otherwise(of_kind)
          .within(0, 300)
          .usual(0, 60, "from memory, shaky")
          .means("Pull of the laced upper that keeps the shoe's rear part with the midfoot.")
          .from("10-60 N over the instep (from memory, shaky)"));
  add(number_row("shoe.upper_stiffness_n_per_mm", "N/mm")
          .varies(0, 50, "assumed")
          .into(&Shoe::upper_stiffness)
          .otherwise(of_kind)
          .within(0, 500)
          .means("By how much that pull grows as the shoe's rear part sinks away from the midfoot.")
          .from("assumed"));
  add(number_row("shoe.rocker_deg", "deg")
          .into(&Shoe::rocker_deg)
          .otherwise(of_kind)
          .within(0, 35)
          .usual(0, 25)
          .varies(0, 25, "assumed")
          .means("Angle by which the sole rises distal of its apex; 0: no rocker.")
          .from("10-20 degrees: common practice, no source"));
  add(number_row("shoe.rocker_apex_behind_heads_mm", "mm")
          .deviates(5, "assumed")
          .into(&Shoe::rocker_apex)
          .otherwise(of_kind)
          .within(-20, 60)
          .means("Where a rocker sole begins to rise, behind the line of the heads.")
          .from("common practice, no source"));
  add(number_row("shoe.sole_thickness_mm", "mm")
          .deviates(1, "assumed")
          .otherwise(of_kind)
          .within(1, 60)
          .means("Thickness of the sole under the ball, of designs whose layers name no sole.")
          .from(see));
  add(choice_row("shoe.sole_material")
          .otherwise(of_kind)
          .one_of(material_names())
          .means("What that sole is made of.")
          .from(see));
}

void add_material_rows(std::vector<CatalogueRow> &rows) {
  const auto add = [&rows](const CatalogueRow &r) { rows.push_back(r); };
  const std::string rb = "Reilly & Burstein 1975 (from memory)";
  add(choice_row("bone.law")
          .into(&FootMaterials::bone_law)
          .otherwise("isotropic")
          .one_of({"isotropic", "transverse"})
          .means("Elasticity of bone: the same in all directions, or another one along the ray.")
          .from("assumed"));
  add(number_row("bone.cortical_e_mpa", "MPa")
          .into(&FootMaterials::cortical_e)
          .otherwise(17000)
          .within(1000, 40000)
          .usual(10000, 20000)
          .means("Young's modulus of cortical bone along the ray.")
          .from(rb));
  add(number_row("bone.cortical_nu", "")
          .into(&FootMaterials::cortical_nu)
          .otherwise(0.3)
          .within(0, 0.45)
          .usual(0.2, 0.4)
          .means("Poisson's ratio of cortical bone.")
          .from("assumed, as most finite element work"));
  add(number_row("bone.cortical_e_transverse_mpa", "MPa")
          .into(&FootMaterials::cortical_e_transverse)
          .otherwise(11500)
          .within(1000, 40000)
          .usual(6000, 17000)
          .means("Young's modulus of cortical bone across the ray; bone.law = \"transverse\" only.")
          .from(rb));
  add(number_row("bone.cortical_g_mpa", "MPa")
          .into(&FootMaterials::cortical_g)
          .otherwise(3300)
          .within(300, 15000)
          .usual(2500, 6500)
          .means("Shear modulus of cortical bone along the ray; bone.law = \"transverse\" only.")
          .from(rb));
  add(number_row("bone.trabecular_e_mpa", "MPa")
          .into(&FootMaterials::trabecular_e)
          .otherwise(700)
          .within(10, 10000)
          .usual(300, 1000)
          .means("Young's modulus of the spongy bone in base and head.")
          .from("finite element practice (from memory)"));
  add(number_row("bone.trabecular_nu", "")
          .into(&FootMaterials::trabecular_nu)
          .otherwise(0.3)
          .within(0, 0.45)
          .usual(0.2, 0.4)
          .means("Poisson's ratio of the spongy bone.")
          .from("finite element practice (from memory)"));
  add(number_row("bone.trabecular_e_transverse_mpa", "MPa")
          .into(&FootMaterials::trabecular_e_transverse)
          .otherwise("as along the ray")
          .within(10, 10000)
          .usual(100, 1000, "assumed")
          .means("Young's modulus of the spongy bone across the ray; bone.law = \"transverse\" only.")
          .from("default: isotropic, as no source tells its directions in a metatarsal's ends"));
  add(number_row("bone.trabecular_g_mpa", "MPa")
          .into(&FootMaterials::trabecular_g)
          .otherwise("E / (2 (1 + nu)) of the spongy bone")
          .within(3, 5000)
          .usual(40, 400, "assumed")
          .means("Shear modulus of the spongy bone along the ray; bone.law = \"transverse\" only.")
          .from("default: isotropic, as no source tells its directions in a metatarsal's ends"));
  add(number_row("tissue.mu_mpa", "MPa")
          .into(&FootMaterials::tissue_mu)
          .otherwise(tissue_mu_mpa)
          .deviates_by_part(0.2, "+-50 % between regions and people, taken as 2.5 standard deviations: "
                                 "Ledoux 2007 (from memory)")
          .within(0.005, 2)
          .usual(0.01, 0.2, "assumed")
          .means("Shear modulus of the plantar tissue when unloaded.")
          .from("a third of 0.15 MPa for small strain: Gefen, Ledoux & Blevins 2007 (from memory)"));
  add(number_row("tissue.stiffening", "")
          .into(&FootMaterials::tissue_stiffening)
          .otherwise(tissue_stiffening)
          .within(0, 20)
          .usual(0, 10, "assumed")
          .means("How fast the tissue stiffens: exponent of the isochoric exponential law.")
          .from("calibrated to the pad compression of Cavanagh 1999 (read)"));
  add(number_row("tissue.bulk_mpa", "MPa")
          .into(&FootMaterials::tissue_bulk)
          .otherwise(tissue_bulk_mpa)
          .within(0.05, 200)
          .usual(0.3, 20, "assumed")
          .means("Bulk modulus of the plantar tissue when unloaded; large is incompressible.")
          .from("assumed; 0.55 from Lemmon 1997 constants (from memory)"));
  add(number_row("tissue.fascia_stiffness_n_per_mm", "N/mm")
          .into(&FootMaterials::fascia_stiffness)
          .otherwise(700)
          .within(10, 5000)
          .usual(300, 1200, "assumed")
          .means("Stiffness EA/L of the whole plantar fascia; a slip has its share.")
          .from("five slips of 140 N/mm: Wright & Rennels 1964, Cheung (from memory)"));
  add(number_row("tissue.joint_moment_n_mm", "N mm")
          .into(&FootMaterials::joint_moment)
          .otherwise(3500)
          .within(50, 50000)
          .usual(500, 8000)
          .means("Moment at which a metatarsal's base turns through half of its joint's mobility.")
          .from("assumed"));
}

void add_mesh_rows(std::vector<CatalogueRow> &rows) {
  const auto add = [&rows](const CatalogueRow &r) { rows.push_back(r); };
  const Settings s;
  add(choice_row("mesh.resolution")
          .into(&Settings::resolution)
          .otherwise("standard")
          .one_of({"coarse", "standard", "fine"})
          .means(
              "How finely foot and insole are divided. Coarse is for a first look, fine for close rankings.")
          .from(no_number));
  add(number_row("mesh.contact_stiffness_mpa_per_mm", "MPa/mm")
          .into(&Settings::contact_stiffness)
          .otherwise(s.contact_stiffness)
          .within(0.1, 500)
          .usual(1, 50)
          .means("Pressure that brings skin and insole one millimetre nearer: compliance of skin and sock.")
          .from("assumed"));
  add(number_row("mesh.skin_grip_mpa_per_mm", "MPa/mm")
          .into(&Settings::skin_grip)
          .otherwise(s.skin_grip)
          .within(0, 10)
          .usual(0.02, 0.3)
          .means("Shear stiffness by which skin and sock stick to the insole; 0: they slip freely.")
          .from("set so that shear under the heads comes out as measured in shoes, 24-87 kPa (Hosein & Lord "
                "2000, read: abstract)"));
  add(number_row("mesh.ground_stiffness_mpa_per_mm", "MPa/mm")
          .into(&Settings::ground_stiffness)
          .otherwise(s.ground_stiffness)
          .within(0.1, 500)
          .usual(1, 100)
          .means("Pressure that brings the shoe's sole and the ground one millimetre nearer.")
          .from("assumed"));
  add(number_row("mesh.ground_grip_mpa_per_mm", "MPa/mm")
          .into(&Settings::ground_grip)
          .otherwise(s.ground_grip)
          .within(0, 50)
          .usual(0.3, 30)
          .means("Shear stiffness by which the sole sticks to the ground where it lies on it. It keeps the "
                 "sole's "
                 "plan; it passes on no horizontal force.")
          .from("assumed: an outsole does not slip, and its own shear is the sole's in the mesh"));
  add(number_row("mesh.newton_tolerance", "")
          .into(&Settings::newton_tolerance)
          .otherwise(s.newton_tolerance)
          .within(1e-12, 1e-2)
          .usual(1e-10, 1e-4)
          .means(
              "Forces out of balance at which the full load counts as solved on the finest mesh, relative to "
              "the applied force "
              "(on the way there 1e-4, on coarser meshes that only start the finest 1e-5, if this is less).")
          .from("assumed"));
  add(number_row("mesh.linear_tolerance", "")
          .into(&Settings::linear_tolerance)
          .otherwise(s.linear_tolerance)
          .within(1e-10, 0.5)
          .usual(1e-8, 0.1)
          .means("Residual reduction of the linear solver inside a Newton step.")
          .from("assumed"));
  add(integer_row("mesh.max_newton", "")
          .into(&Settings::max_newton)
          .otherwise(s.max_newton)
          .within(3, 500)
          .means("Newton steps allowed in a load step before it is halved; as many again once out of balance "
                 "by 1 % at most.")
          .from("assumed"));
  add(integer_row("mesh.load_steps", "")
          .into(&Settings::load_steps)
          .otherwise(s.load_steps)
          .within(1, 100)
          .means("Steps in which the load is first applied; halved where they fail.")
          .from("assumed"));
}

} // namespace raybend
