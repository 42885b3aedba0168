// Every value in force, with its origin; and as a case file that reads back the same.
#include "cases/forefoot/resolved.hpp"
#include "cases/catalogue/anatomy.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/catalogue/materials.hpp"
#include "cases/catalogue/support_kinds.hpp"
#include "cases/words/words.hpp"
#include "solver/force_line.hpp"
#include <algorithm>
#include <set>
#include <typeinfo>

namespace raybend {

namespace {

/// Collects entries of one case.
class Lister {
public:
  Lister(const std::map<std::string, std::string> &origins_, std::vector<Case::Resolved> &list_)
      : origins(origins_), list(list_) {}

  /// `kind`: of a support element, to find its catalogue row.
  void put(const std::string &key, const std::string &value, const std::string &kind = "") {
    std::string general = general_key(key);
    if (!kind.empty() && !find_catalogue_row(general)) {
      const std::string common = "support[]";
      general.replace(general.find(common), common.size(), "support[" + kind + "]");
    }
    const auto it = origins.find(key);
    list.push_back({key, value, catalogue_row(general).unit, it == origins.end() ? "default" : it->second});
  }
  void put(const std::string &key, const char *value) { put(key, std::string(value)); }
  void put(const std::string &key, const double value, const std::string &kind = "") {
    put(key, number_text(value, 9), kind);
  }
  /// Every member of `object` that a row of the table stands for, under the concrete place.
  template <typename Struct>
  void put_members(const std::string &table, const std::string &place, const Struct &object,
                   const std::set<std::string> &leave_out = {}) {
    for (const CatalogueRow *r : member_rows(table, typeid(Struct))) {
      const std::string name = r->key.substr(table.size() + 1), key = place + "." + name;
      const double x = r->member.get(&object);
      if (leave_out.count(name))
        continue;
      if (r->type == KeyType::number || r->type == KeyType::integer)
        put(key, x);
      else
        put(key, r->type == KeyType::boolean ? std::string(x != 0 ? "true" : "false")
                                             : r->choices.at(static_cast<std::size_t>(x)));
    }
  }

  void put_material(const std::string &table, const InsoleMaterial &m) {
    for (const std::string &name : material_names())
      if (name == m.name) {
        put(table + ".material", name);
        return;
      }
    put(table + ".e_mpa", m.e);
    put(table + ".nu", m.nu);
    put(table + ".law", m.law == MaterialLaw::foam ? "foam" : "solid");
    if (m.law == MaterialLaw::foam) {
      put(table + ".relative_density", m.relative_density);
      put(table + ".gas_pressure_mpa", m.gas_pressure);
    }
  }

private:
  const std::map<std::string, std::string> &origins;
  std::vector<Case::Resolved> &list;
};

void list_foot(Lister &out, const Forefoot &foot) {
  out.put("patient.body_mass_kg", foot.body_mass_kg);
  out.put("patient.foot_length_mm", foot.foot_length);
  out.put("patient.side", foot.side == Side::left ? "left" : "right");
  out.put("patient.sex", foot.sex == Sex::female ? "female" : "male");
  out.put("patient.painful_ray", foot.painful_ray);
  if (!foot.also_painful.empty()) {
    std::vector<std::string> rays;
    for (const int ray : foot.also_painful)
      rays.push_back("ray" + std::to_string(ray));
    out.put("patient.also_painful", list_text(rays));
  }
  out.put("patient.painful_place", painful_place_names()[static_cast<int>(foot.painful_place)]);
  out.put("patient.medial_margin_mm", foot.medial_margin);
  out.put("patient.lateral_margin_mm", foot.lateral_margin);
  out.put("patient.ankle_roll_stiffness_nm_per_deg", foot.ankle_roll_stiffness);
  out.put("patient.ankle_pitch_stiffness_nm_per_deg", foot.ankle_pitch_stiffness);
  out.put("patient.fascia_anchor_behind_mm", foot.hindfoot_anchor_behind);
  out.put("patient.fascia_anchor_height_mm", foot.hindfoot_anchor_height);
  for (int r = 1; r <= 5; ++r)
    for (const RayField &f : ray_fields())
      out.put("patient.ray" + std::to_string(r) + "." + f.name, foot.rays[r - 1].*f.member);
}

void list_activity(Lister &out, const Forefoot &foot, const DayActivity &day, const std::string &place) {
  const Activity &a = day.activity;
  out.put(place + ".kind", a.name);
  if (place != "activity" || day.name != a.name)
    out.put(place + ".name", day.name);
  Activity shown = a;
  shown.line_medial = force_line_medial(foot, a);
  std::set<std::string> left_out; // what has no effect, or stands instant by instant
  if (!a.fascia)
    left_out.insert("fascia_bw");
  if (!a.flexors)
    left_out.insert("flexor_effort");
  if (!day.course.empty()) { // the largest over stance; what else changes stands instant by instant
    left_out.insert({"forward_share", "heel_rise_deg", "toe_share"});
    const auto largest = [&](const auto &size) {
      return *std::max_element(day.course.begin(), day.course.end(),
                               [&](const Activity &x, const Activity &y) { return size(x) < size(y); });
    };
    shown.force_bw = largest([](const Activity &x) { return x.force_bw; }).force_bw;
    shown.fascia_bw = largest([](const Activity &x) { return x.fascia_bw; }).fascia_bw;
    shown.flexor_effort =
        largest([](const Activity &x) { return x.force_bw * x.toe_share * x.flexor_effort; }).flexor_effort;
  }
  out.put_members("activity", place, shown, left_out);
  out.put_members("activity", place, day);
  for (std::size_t i = 0; i < day.course.size(); ++i) {
    const Activity &instant = day.course[i];
    const std::string at = place + ".course[" + std::to_string(i + 1) + "]";
    out.put(at + ".stance_percent", instant.stance_percent);
    const bool first = std::find(day.first.begin(), day.first.end(), i) != day.first.end();
    out.put(at + ".solve_first", std::string(first ? "true" : "false"));
    out.put(at + ".force_bw", instant.force_bw);
    out.put(at + ".forward_share", instant.forward_share);
    out.put(at + ".heel_rise_deg", instant.heel_rise_deg);
    out.put(at + ".toe_share", instant.toe_share);
    out.put(at + ".fascia_bw", instant.fascia_bw);
    out.put(at + ".flexor_effort", instant.flexor_effort);
  }
}

void list_load(Lister &out, const Case &c) {
  for (std::size_t i = 0; i < c.day.size(); ++i)
    list_activity(out, c.foot, c.day[i],
                  c.day_is_list ? "activity[" + std::to_string(i + 1) + "]" : "activity");

  const FootMaterials &m = c.foot.materials;
  std::set<std::string> across; // what has no effect
  if (m.bone_law != BoneLaw::transverse)
    across = {"cortical_e_transverse_mpa", "cortical_g_mpa", "trabecular_e_transverse_mpa",
              "trabecular_g_mpa"};
  out.put_members("bone", "bone", m, across);
  out.put_members("tissue", "tissue", m);
  out.put_members("mesh", "mesh", c.settings);
}

void list_design(Lister &out, const Design &d, const std::string &place) {
  out.put(place + ".name", d.name);
  out.put(place + ".title", d.title);
  out.put(place + ".fit", d.fit);
  for (std::size_t i = 0; i < d.layers.size(); ++i) {
    const std::string layer = place + ".layers[" + std::to_string(i + 1) + "]";
    out.put(layer + ".role", role_name(d.layers[i].role));
    out.put(layer + ".thickness_mm", d.layers[i].thickness);
    out.put_material(layer, d.layers[i].material);
    if (d.layers[i].role == LayerRole::sole)
      continue; // it has no extent
    out.put(layer + ".from_behind_heads_mm", d.layers[i].from_behind_heads);
    out.put(layer + ".to_behind_heads_mm", d.layers[i].to_behind_heads);
    if (d.layers[i].bevelled() && (d.layers[i].begins() || d.layers[i].ends()))
      out.put(layer + ".bevel_mm", d.layers[i].bevel);
  }
  for (std::size_t i = 0; i < d.support.size(); ++i) {
    const SupportElement &e = d.support[i];
    const SupportKindInfo &info = support_kind(e.kind);
    const std::string support = place + ".support[" + std::to_string(i + 1) + "]";
    out.put(support + ".kind", info.name);
    for (const SupportField &f : info.fields)
      out.put(support + "." + f.name, f.member ? e.*f.member : e.ray, info.name);
    if (e.kind == SupportKind::pad) {
      out.put(support + ".profile", std::string(e.profile == PadProfile::dome ? "dome" : "teardrop"),
              info.name);
    }
    if (info.takes_material)
      out.put_material(support, e.material);
  }
  out.put(place + ".shoe.kind", d.shoe.kind);
  std::set<std::string> without; // what has no effect
  if (!d.shoe.has_rocker())
    without.insert("rocker_apex_behind_heads_mm");
  out.put_members("shoe", place + ".shoe", d.shoe, without);
}

} // namespace

std::vector<Case::Resolved> list_resolved(const Case &c, const std::map<std::string, std::string> &origins) {
  std::vector<Case::Resolved> list;
  Lister out(origins, list);
  out.put("title", c.title);
  out.put("question", c.question);
  out.put("note", c.note);
  out.put("reference", c.reference);
  list_foot(out, c.foot);
  list_load(out, c);
  for (std::size_t d = 0; d < c.designs.size(); ++d)
    list_design(out, c.designs[d], "designs[" + std::to_string(d + 1) + "]");
  return list;
}

std::string resolved_toml(const Case &c) {
  std::string text = "# Every value of this case as calculated, with its origin.\n", table;
  for (const Case::Resolved &r : c.resolved) {
    const std::size_t dot = r.key.find_last_of('.');
    const std::string here = dot == std::string::npos ? "" : r.key.substr(0, dot);
    const std::string name = dot == std::string::npos ? r.key : r.key.substr(dot + 1);
    if (here != table) {
      std::string plain;
      for (std::size_t i = 0; i < here.size(); ++i) // drop the places in lists
        if (here[i] == '[')
          i = here.find(']', i);
        else
          plain += here[i];
      text += "\n" + (here.back() == ']' ? "[[" + plain + "]]" : "[" + plain + "]") + "\n";
      table = here;
    }
    const bool bare = r.value == "true" || r.value == "false" ||
                      (!r.value.empty() && r.value.find_first_not_of("0123456789.+-e") == std::string::npos);
    const bool words =
        name == "title" || name == "question" || name == "note" || name == "name" || name == "reference";
    text += name + " = " + (bare && !words ? r.value : quoted(r.value)) + "  # " + r.origin + "\n";
  }
  return text;
}

} // namespace raybend
