// The numbers of foot, load, shoe and insole that are drawn, with the measurement that would tell each.
#include "cases/sure/uncertain.hpp"
#include "cases/catalogue/anatomy.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "geometry/constants.hpp"
#include "geometry/foot_shape.hpp"
#include "solver/force_line.hpp"
#include <algorithm>
#include <cmath>
#include <set>

namespace raybend {

namespace {

const char *const from_above = "X-ray from above, standing";
const char *const from_the_side = "X-ray from the side, standing";
const char *const skin = "ultrasound of the skin under the heads";
const char *const plate = "pressure plate or insole, walking";
const char *const film = "film of the push-off from the side";
const char *const force_plate = "force plate";
const char *const by_hand = "mobility of the rays by hand, against a scale";
const char *const shoe_bent = "bend the shoe over a scale";
const char *const material = "hardness and press test of the materials";
const char *const place = "mark the heads on the insole and look where the pad lies";

class List {
public:
  explicit List(const Case &c) : case_(c) {}

  /// `key` as a case has it (patient.ray2.length_mm); `at` gives the places of the value.
  void add(const std::string &key, const std::string &words, const std::string &measured_by,
           const bool factor, const std::function<std::vector<double *>(Case &)> &at) {
    Case copy = case_;
    const std::vector<double *> here = at(copy);
    if (here.empty())
      return;
    const std::string prefix = "patient.ray";
    const int ray = key.compare(0, prefix.size(), prefix) == 0 ? key[prefix.size()] - '0' : 0;
    const CatalogueRow &row = catalogue_row(general_key(key));
    Uncertain u;
    u.number.name = words;
    u.number.measured_by = measured_by;
    u.number.value = *here.front();
    u.number.measured = given(key);
    u.number.measured_to = row.deviation(u.number.value, true, ray);
    u.number.deviation = row.deviation(u.number.value, u.number.measured, ray);
    if (!(u.number.deviation > 0) || (factor && !(u.number.value > 0)))
      return;
    const double deviation = u.number.deviation, part = deviation / u.number.value;
    const Range allowed = row.allowed;
    u.move = [=](Case &c, const double z) {
      for (double *x : at(c))
        *x = std::clamp(factor ? *x * std::exp(z * part) : *x + z * deviation, allowed.low, allowed.high);
    };
    all.push_back(u);
  }

  void ray(const std::string &field, const int r, const std::string &words, const std::string &measured_by,
           const bool factor = false) {
    const auto &fields = ray_fields();
    const auto f =
        std::find_if(fields.begin(), fields.end(), [&](const RayField &x) { return x.name == field; });
    double Ray::*member = f->member;
    add("patient.ray" + std::to_string(r) + "." + field, words + " " + std::to_string(r), measured_by, factor,
        [member, r](Case &c) { return std::vector<double *>{&(c.foot.rays[r - 1].*member)}; });
  }

  /// A share of a ray: the others keep their proportions.
  void share(const std::string &field, const int r, const std::string &words,
             const std::string &measured_by) {
    const std::size_t before = all.size();
    ray(field, r, words, measured_by);
    if (all.size() == before)
      return;
    const auto &fields = ray_fields();
    double Ray::*member = std::find_if(fields.begin(), fields.end(), [&](const RayField &x) {
                            return x.name == field;
                          })->member;
    const auto move = all.back().move;
    all.back().move = [=](Case &c, const double z) {
      const double others = 1 - c.foot.rays[r - 1].*member;
      move(c, z);
      for (int q = 1; q <= 5 && others > 0; ++q)
        if (q != r)
          c.foot.rays[q - 1].*member *= (1 - c.foot.rays[r - 1].*member) / others;
    };
  }

  /// Of every activity alike: its first one's deviation.
  void load(const std::string &name, const std::string &words, const std::string &measured_by,
            const bool factor, double Activity::*member) {
    add("activity." + name, words, measured_by, factor, [member](Case &c) {
      std::vector<double *> places;
      for (DayActivity &d : c.day)
        if (d.activity.*member != 0) // quiet standing has no heel rise, no forward part
          places.push_back(&(d.activity.*member));
      return places;
    });
  }

  std::vector<Uncertain> all;

private:
  /// True where the case gives this number itself, not one that it follows from (a foot form's); of activities all do.
  bool given(const std::string &key) const {
    const std::string activity = "activity.";
    const bool load = key.compare(0, activity.size(), activity) == 0, arch = key == "patient.arch_rise_mm";
    std::size_t there = 0, by_case = 0;
    for (const Case::Resolved &r : case_.resolved) {
      const bool same = load   ? general_key(r.key) == key
                        : arch ? r.key == "patient.ray2.arch_rise_mm"
                               : r.key == key;
      there += same;
      by_case += same && (r.origin == "case" || r.origin == "--set" ||
                          (arch && (r.origin == "case, arch_rise_mm" || r.origin == "--set, arch_rise_mm")));
    }
    return there > 0 && by_case == there;
  }

  const Case &case_;
};

void add_insoles(List &list, const Case &c) {
  std::set<std::pair<std::string, double>> seen;
  const auto take = [&](const InsoleMaterial &m) {
    if (!(m.e > 0) || !seen.emplace(m.name, m.e).second)
      return;
    // Factors go by design and place, as a moved modulus no longer names its material.
    std::vector<std::pair<std::size_t, int>> places;
    for (std::size_t d = 0; d < c.designs.size(); ++d) {
      for (std::size_t l = 0; l < c.designs[d].layers.size(); ++l)
        if (c.designs[d].layers[l].material.name == m.name && c.designs[d].layers[l].material.e == m.e)
          places.emplace_back(d, static_cast<int>(l));
      for (std::size_t s = 0; s < c.designs[d].support.size(); ++s)
        if (c.designs[d].support[s].material.name == m.name && c.designs[d].support[s].material.e == m.e)
          places.emplace_back(d, -1 - static_cast<int>(s));
    }
    list.add("designs[].layers[].e_mpa", (m.name.empty() ? "a material" : m.name) + ", modulus, MPa",
             material, true, [places](Case &moved) {
               std::vector<double *> at;
               for (const auto &[d, k] : places)
                 at.push_back(k >= 0 ? &moved.designs[d].layers[k].material.e
                                     : &moved.designs[d].support[-1 - k].material.e);
               return at;
             });
  };
  for (const Design &d : c.designs) {
    for (const Layer &l : d.layers)
      take(l.material);
    for (const SupportElement &s : d.support)
      if (s.kind != SupportKind::wedge && s.kind != SupportKind::relief)
        take(s.material);
  }
  for (std::size_t d = 0; d < c.designs.size(); ++d)
    for (std::size_t s = 0; s < c.designs[d].support.size(); ++s) {
      const SupportKind kind = c.designs[d].support[s].kind;
      if (kind == SupportKind::pad || kind == SupportKind::bar)
        list.add(std::string("designs[].support[") + (kind == SupportKind::pad ? "pad" : "bar") +
                     "].behind_heads_mm",
                 c.designs[d].name + ", place of the " + (kind == SupportKind::pad ? "pad" : "bar") + ", mm",
                 place, false, [d, s](Case &moved) {
                   return std::vector<double *>{&moved.designs[d].support[s].behind_heads};
                 });
    }
  list.add("shoe.ball_stiffness_nm_per_deg", "stiffness of the shoe at the ball, N m/deg", shoe_bent, true,
           [](Case &moved) {
             std::vector<double *> at;
             for (Design &d : moved.designs)
               at.push_back(&d.shoe.ball_stiffness);
             return at;
           });
}

} // namespace

std::vector<Uncertain> uncertain_numbers(const Case &c) {
  List list(c);
  const auto one = [](auto of) { return [of](Case &moved) { return std::vector<double *>{&of(moved)}; }; };
  const int painful = c.foot.painful_ray;
  list.add("patient.body_mass_kg", "body mass, kg", "scales", false,
           one([](Case &m) -> double & { return m.foot.body_mass_kg; }));
  for (int r = 1; r <= 5; ++r) {
    if (r != 2)
      list.ray("head_behind_mt2_mm", r, "place along the foot, mm, of head", from_above);
    list.ray("declination_deg", r, "declination, deg, of ray", from_the_side);
    list.ray("tissue_under_head_mm", r, "skin, mm, under head", skin);
    list.ray("mobility_deg", r, "mobility, deg, of ray", by_hand, true);
  }
  list.ray("length_mm", painful, "length, mm, of metatarsal", from_above);
  list.ray("shaft_height_mm", painful, "shaft's height, mm, of metatarsal", from_the_side, true);
  list.ray("shaft_width_mm", painful, "shaft's width, mm, of metatarsal", from_above, true);
  list.ray("cortex_mm", painful, "cortex, mm, of metatarsal", from_above, true);
  list.share("fascia_share", painful, "share of the fascia of ray", "");
  list.share("flexor_share", painful, "share of the flexors of ray", "");
  list.share("toe_share", 1, "share of the toes' load of toe", plate);
  list.add("patient.ray1.toe_joint_n_mm_per_deg", "stiffness of the toes' joints, N mm/deg", "", true,
           [](Case &m) {
             std::vector<double *> at;
             for (Ray &ray : m.foot.rays)
               at.push_back(&ray.toe_joint);
             return at;
           });
  list.add("patient.arch_rise_mm", "rise of the arch at ray 2, mm", "cast or scan of the sole, unloaded",
           true, [](Case &m) {
             std::vector<double *> at;
             for (const int r : {2, 1, 3, 4, 5})
               at.push_back(&m.foot.rays[r - 1].arch_rise);
             return at;
           });
  list.add("patient.ankle_roll_stiffness_nm_per_deg", "ankle's stiffness in roll, N m/deg", "", true,
           one([](Case &m) -> double & { return m.foot.ankle_roll_stiffness; }));
  list.add("patient.ankle_pitch_stiffness_nm_per_deg", "ankle's stiffness in pitch, N m/deg", "", true,
           one([](Case &m) -> double & { return m.foot.ankle_pitch_stiffness; }));
  list.add("tissue.mu_mpa", "stiffness of the skin, MPa", "press test of the skin", true,
           [](Case &m) { return std::vector<double *>{&m.foot.materials.tissue_mu}; });
  list.add("tissue.fascia_stiffness_n_per_mm", "stiffness of the fascia, N/mm", "", true,
           one([](Case &m) -> double & { return m.foot.materials.fascia_stiffness; }));
  list.add("tissue.joint_moment_n_mm", "moment of the tarsometatarsal joints, N mm", by_hand, true,
           one([](Case &m) -> double & { return m.foot.materials.joint_moment; }));
  list.add("bone.cortical_e_mpa", "modulus of the bone, MPa", "", true,
           one([](Case &m) -> double & { return m.foot.materials.cortical_e; }));
  list.load("force_bw", "force, body weights", force_plate, true, &Activity::force_bw);
  list.load("forward_share", "forward part of the force", force_plate, false, &Activity::forward_share);
  list.load("heel_rise_deg", "heel rise, deg", film, true, &Activity::heel_rise_deg);
  list.load("toe_share", "part of the force under the toes", plate, true, &Activity::toe_share);
  list.load("fascia_bw", "pull of the fascia, body weights", "", true, &Activity::fascia_bw);
  list.load("flexor_effort", "effort of the toe flexors", "", true, &Activity::flexor_effort);
  list.add("activity.force_line_medial_mm", "line of the force, mm medial of head 2", plate, false,
           [](Case &m) {
             std::vector<double *> at;
             for (DayActivity &d : m.day) {
               if (!d.activity.line_medial)
                 d.activity.line_medial = force_line_medial(m.foot, d.activity);
               at.push_back(&*d.activity.line_medial);
             }
             return at;
           });
  add_insoles(list, c);
  return list.all;
}

Case moved_case(const Case &c, const std::vector<Uncertain> &numbers, const std::vector<double> &z) {
  const auto base_height = [](const Ray &r) { return r.length * std::sin(r.declination_deg * pi / 180); };
  Case moved = c;
  for (std::size_t j = 0; j < numbers.size(); ++j)
    numbers[j].move(moved, z[j]);
  // the skin under a base rises with the base
  for (std::size_t r = 0; r < 5; ++r) {
    Ray &ray = moved.foot.rays[r];
    ray.arch_rise = std::max(0.0, ray.arch_rise + base_height(ray) - base_height(c.foot.rays[r]));
  }
  return moved;
}

bool is_foot(const Case &c) {
  constexpr double least_gap = 0.2, least_tissue = 1; // mm; below it bones touch, cells fold (assumed)
  int a = 0, b = 0;
  return FootShape(c.foot).smallest_gap(a, b) >= least_gap &&
         std::all_of(c.foot.rays.begin(), c.foot.rays.end(),
                     [](const Ray &r) { return tissue_under_base(r) >= least_tissue; });
}

} // namespace raybend
