// Reads [[designs]] with their layers and support elements.
#include "cases/forefoot/design_reader.hpp"
#include "cases/catalogue/materials.hpp"
#include "cases/catalogue/support_kinds.hpp"
#include "cases/forefoot/shoe_reader.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>
#include <sstream>

namespace raybend {

namespace {

/// E and nu, or Shore A: an unnamed material.
InsoleMaterial made_to_numbers(TableReader &table) {
  InsoleMaterial m;
  if (table.has("shore_a")) {
    const double shore = table.number_or_default("shore_a");
    m.e = gent_modulus(shore);
    m.name = "Shore A " + number_text(shore);
    table.log.derive(table.path("e_mpa"), table.path("shore_a"));
    if (std::isfinite(shore))
      table.log.warn(
          table.path("shore_a"), table.line("shore_a"),
          "Shore A " + number_text(shore) + " taken as E " + number_text(m.e, 3) +
              " MPa (Gent 1958, from memory, made for solid rubber); of a foam E may be 50 % less or more");
  } else {
    m.e = table.number_or_default("e_mpa");
    m.name = "E " + number_text(m.e) + " MPa";
    if (!table.has("nu"))
      table.fault("e_mpa", "needs nu (Poisson's ratio) beside it");
  }
  m.law = m.e < 20 ? MaterialLaw::foam : MaterialLaw::solid;
  if (const auto law = table.text("law"))
    m.law = *law == "foam" ? MaterialLaw::foam : MaterialLaw::solid;
  const bool foam = m.law == MaterialLaw::foam;
  m.nu = foam ? 0.15 : 0.45;
  if (table.has("nu"))
    m.nu = table.number_or_default("nu");
  m.relative_density = 1;
  m.gas_pressure = 0;
  for (const char *key : {"relative_density", "gas_pressure_mpa"})
    if (!foam && table.has(key))
      table.fault(key, "belongs to a foam, and this material is a solid (law)");
  if (foam) {
    m.relative_density = table.number_or_default("relative_density");
    m.gas_pressure = table.number_or_default("gas_pressure_mpa");
  }
  return m;
}

InsoleMaterial read_material(TableReader &table, const std::string &default_name) {
  std::vector<std::string> ways;
  for (const char *key : {"material", "e_mpa", "shore_a"})
    if (table.has(key))
      ways.push_back(key);
  if (ways.size() > 1) {
    Fault &f = table.fault(ways[1], "says the material a second time");
    f.found = ways[0] + " and " + ways[1];
    f.allowed = "one of material, e_mpa (with nu), shore_a";
    return {};
  }
  if (!ways.empty() && ways[0] != "material")
    return made_to_numbers(table);
  for (const char *key : {"nu", "law", "relative_density", "gas_pressure_mpa"})
    if (table.has(key))
      table.fault(key, "stands beside e_mpa or shore_a only; a named material brings its own");
  if (ways.empty() && default_name.empty()) {
    Fault &f = table.fault("material", "missing");
    f.allowed = "material, or e_mpa with nu, or shore_a";
    return {};
  }
  const std::string name = ways.empty() ? default_name : table.text("material").value_or("");
  return name.empty() ? InsoleMaterial{} : named_material(name).material;
}

Layer read_layer(TableReader &table) {
  Layer layer;
  if (const auto role = table.text("role")) {
    const std::vector<std::string> names = role_names();
    layer.role = static_cast<LayerRole>(std::find(names.begin(), names.end(), *role) - names.begin());
    layer.thickness = table.number("thickness_mm").value_or(0);
    const double thickest[] = {60, 6, 40, 20}; // sole, plate, base, cover
    const double limit = thickest[static_cast<int>(layer.role)];
    if (layer.thickness > limit) {
      Fault &f = table.fault("thickness_mm", "too thick for a " + *role);
      f.found = number_text(layer.thickness);
      f.allowed = "at most " + number_text(limit) + " mm";
    }
    if (layer.role == LayerRole::base && layer.thickness > 0 && layer.thickness < least_base_mm) {
      Fault &f = table.fault("thickness_mm", "too thin for a base");
      f.found = number_text(layer.thickness);
      f.allowed = "at least " + number_text(least_base_mm) + " mm";
    }
    for (const char *end : {"from_behind_heads_mm", "to_behind_heads_mm", "bevel_mm"})
      if (layer.role == LayerRole::sole && table.has(end))
        table.fault(end,
                    "a sole has no extent, it lies under the whole forefoot; base, cover and plate can end");
    if (layer.role == LayerRole::plate && table.has("bevel_mm"))
      table.fault("bevel_mm", "a plate has no bevel, it is equally thick up to its ends");
  } else {
    layer.thickness = table.number("thickness_mm").value_or(0);
  }
  layer.material = read_material(table, "");
  layer.from_behind_heads = table.number_or_default("from_behind_heads_mm");
  layer.to_behind_heads = table.number_or_default("to_behind_heads_mm");
  if (layer.from_behind_heads <= layer.to_behind_heads) {
    Fault &f = table.fault("from_behind_heads_mm",
                           "the proximal end must lie behind (be larger than) to_behind_heads_mm");
    f.found = number_text(layer.from_behind_heads) + " and " + number_text(layer.to_behind_heads);
  }
  layer.bevel = table.number_or_default("bevel_mm");
  const bool has_end = layer.begins() || layer.ends();
  if (layer.bevelled()) {
    if (table.has("bevel_mm") && !has_end)
      table.fault("bevel_mm", "has no effect: the layer has no end").allowed =
          "with from_behind_heads_mm or to_behind_heads_mm beside it";
    if (has_end && layer.bevel < layer.thickness) {
      Fault &f = table.fault(table.has("bevel_mm") ? "bevel_mm" : "thickness_mm",
                             "the layer's end would be steeper than 45 degrees");
      f.found = number_text(layer.thickness) + " mm thick, bevel " + number_text(layer.bevel) + " mm";
      f.allowed = "a bevel_mm of at least " + number_text(layer.thickness) + " mm";
    }
  }
  if (layer.bevelled() && layer.from_behind_heads > layer.to_behind_heads &&
      layer.from_behind_heads - layer.to_behind_heads < 2 * layer.bevel) {
    Fault &f =
        table.fault(table.has("to_behind_heads_mm") ? "to_behind_heads_mm" : "from_behind_heads_mm",
                    "too short for a bevel at each end: the layer would nowhere be as thick as it says");
    f.found = number_text(layer.from_behind_heads - layer.to_behind_heads) + " mm long, bevels of " +
              number_text(layer.bevel) + " mm";
    f.allowed = "at least " + number_text(2 * layer.bevel) + " mm, or a shorter bevel_mm";
  }
  table.refuse_unknown();
  return layer;
}

/// Profile and place of a pad, which may be given by its edge or by its crest.
void read_pad_shape(TableReader &table, SupportElement &pad) {
  if (const auto profile = table.text("profile"))
    pad.profile = *profile == "dome" ? PadProfile::dome : PadProfile::teardrop;
  if (const auto crest = table.number("crest_behind_heads_mm")) {
    if (table.has("behind_heads_mm"))
      table.fault("crest_behind_heads_mm", "behind_heads_mm is given too; give the crest or the edge");
    pad.behind_heads = *crest - crest_part(pad.profile) * pad.length;
  }
}

SupportElement read_support(ReadingLog &log, const toml::table *source, const std::string &place,
                            const int painful_ray) {
  SupportElement element;
  const std::string common = "designs[].support[]";
  TableReader first(log, source, place, {common});
  const auto name = first.text("kind");
  if (!name)
    return element; // its other keys cannot be judged
  const SupportKindInfo &info = *find_support_kind(*name);
  element.kind = info.kind;
  element.ray = painful_ray;
  TableReader table(log, source, place, {"designs[].support[" + *name + "]", common});
  for (const SupportField &field : info.fields)
    if (field.member)
      element.*field.member = table.number_or_default(field.name);
    else
      element.ray = table.integer(field.name).value_or(painful_ray);
  if (element.kind == SupportKind::pad)
    read_pad_shape(table, element);

  std::vector<std::string> takes = {"kind"};
  if (element.kind == SupportKind::pad)
    takes.insert(takes.end(), {"profile", "crest_behind_heads_mm"});
  for (const SupportField &field : info.fields)
    takes.push_back(field.name);
  if (info.takes_material) {
    element.material = read_material(table, info.default_material);
    for (const std::string &key : material_keys())
      takes.push_back(key);
  } else {
    for (const std::string &key : material_keys())
      if (table.has(key))
        table.fault(key, "a " + *name + " takes no material").allowed = list_text(takes);
  }
  const std::vector<std::string> own = takes;
  // keys of other kinds are refused with what this kind takes
  for (const SupportKindInfo &other : support_kinds())
    for (const SupportField &field : other.fields)
      if (table.has(field.name) && std::find(takes.begin(), takes.end(), field.name) == takes.end()) {
        Fault &f = table.fault(field.name, "not a key of a " + *name);
        f.allowed = list_text(own);
        f.nearest = nearest_name(field.name, takes);
        takes.push_back(field.name); // once only
      }
  // what is left is unknown to every kind
  std::vector<std::string> rows = {"designs[].support[" + *name + "]", common};
  for (const std::string &kind : support_kind_names())
    if (kind != *name)
      rows.push_back("designs[].support[" + kind + "]");
  TableReader(log, source, place, rows).refuse_unknown("a " + *name, own);
  return element;
}

void check_layers(TableReader &design, const std::vector<Layer> &layers) {
  std::vector<std::string> roles;
  for (const Layer &layer : layers)
    roles.push_back(role_name(layer.role));
  const std::string order = "from the ground up: sole, plate (may be left out), base, cover";
  for (std::size_t i = 1; i < layers.size(); ++i)
    if (std::find(roles.begin(), roles.begin() + i, roles[i]) != roles.begin() + i) {
      design.fault("layers", "two layers of the role \"" + roles[i] + "\"").allowed = order;
      return;
    } else if (layers[i].role < layers[i - 1].role) {
      Fault &f = design.fault("layers", "layers out of order");
      f.found = list_text(roles);
      f.allowed = order;
      return;
    }
  for (const char *needed : {"base", "cover"})
    if (std::find(roles.begin(), roles.end(), needed) == roles.end()) {
      Fault &f = design.fault("layers", std::string("no layer of the role \"") + needed + "\"");
      f.found = list_text(roles);
      f.allowed = order;
    }
}

/// "designs[1].support[2] (line 31)"
std::string with_line(const ReadingLog &log, const std::string &place, const std::string &key) {
  const auto line = log.lines.find(key);
  return place + (line == log.lines.end() ? "" : " (line " + std::to_string(line->second) + ")");
}

/// All plates of a design lie in one row, side by side: one thickness, and a layer for them to lie in. A plate
/// of support on a plate of the layers could mean that it lies on it or that it takes its place.
void check_plates(TableReader &design, const Design &d) {
  struct Plate {
    std::string place;
    double thickness;
    double front, back; ///< mm behind the heads
  };
  std::vector<Plate> plates;
  double base_e = 0;
  for (std::size_t i = 0; i < d.layers.size(); ++i) {
    if (d.layers[i].role == LayerRole::plate)
      plates.push_back({design.path("layers") + "[" + std::to_string(i + 1) + "]", d.layers[i].thickness,
                        d.layers[i].to_behind_heads, d.layers[i].from_behind_heads});
    if (d.layers[i].role == LayerRole::base)
      base_e = d.layers[i].material.e;
  }
  for (std::size_t i = 0; i < d.support.size(); ++i)
    if (const SupportElement &e = d.support[i]; e.kind == SupportKind::plate)
      plates.push_back({design.path("support") + "[" + std::to_string(i + 1) + "]", e.height, e.behind_heads,
                        e.behind_heads + e.length});
  const auto key_of = [](const Plate &plate) {
    return plate.place + (plate.place.find(".layers[") != std::string::npos ? ".role" : ".kind");
  };
  for (auto plate = plates.begin(); plate != plates.end(); ++plate) {
    if (d.is_moulded_shell()) {
      design.log.fault_of(
          {key_of(*plate)},
          "a moulded shell of E " + number_text(base_e) +
              " MPa stands on filler foam; it has no place for a plate: take fit = 0 or a foam base");
      return;
    }
    const auto other = std::find_if(plates.begin(), plate, [&](const Plate &p) {
      return std::max(p.front, plate->front) < std::min(p.back, plate->back);
    });
    if (other != plate) {
      design.log
          .fault_of({key_of(*plate)}, "overlaps the plate of " +
                                          with_line(design.log, other->place, key_of(*other)) +
                                          "; all plates of a design lie in one row, side by side")
          .hint = "to set one plate against another, make two designs";
      return;
    }
    if (plate->thickness != plates.front().thickness) {
      Fault &f = design.log.fault_of({plate->place + ".thickness_mm", key_of(*plate)},
                                     "all plates of a design lie in one row and are equally thick");
      f.found = number_text(plate->thickness) + " mm beside " + number_text(plates.front().thickness) + " mm";
    }
  }
}

void check_support(TableReader &design, const Design &d) {
  double insole = 0;
  for (const Layer &layer : d.layers)
    if (layer.role == LayerRole::base || layer.role == LayerRole::cover)
      insole += layer.thickness;
  for (std::size_t i = 0; i < d.support.size(); ++i) {
    const SupportElement &e = d.support[i];
    const std::string place = design.path("support") + "[" + std::to_string(i + 1) + "]";
    if (e.kind == SupportKind::relief && e.height >= insole && insole > 0) {
      Fault &f = design.log.fault_of({place + ".depth_mm", place + ".kind"},
                                     "the hollow is deeper than base and cover");
      f.found = number_text(e.height);
      f.allowed = "less than " + number_text(insole) + " mm";
    }
    if (e.kind == SupportKind::plate && e.height >= insole && insole > 0) {
      Fault &f = design.log.fault_of({place + ".thickness_mm", place + ".kind"},
                                     "the plate is thicker than base and cover");
      f.found = number_text(e.height);
      f.allowed = "less than " + number_text(insole) + " mm";
    }
    if (e.kind == SupportKind::relief)
      for (std::size_t k = 0; k < i; ++k)
        if (d.support[k].kind == SupportKind::relief && d.support[k].ray == e.ray)
          design.log.fault_of({place + ".ray", place + ".kind"},
                              "a second relief under the same head, ray " + std::to_string(e.ray));
    if (e.kind == SupportKind::hardness)
      for (std::size_t k = 0; k < i; ++k) {
        SupportElement other = d.support[k];
        const bool same_material = softness_rank(other.material) == softness_rank(e.material);
        other.material = e.material;
        if (!same_material && same_numbers(other, e)) {
          const std::string first = design.path("support") + "[" + std::to_string(k + 1) + "]";
          design.log.fault_of({place + ".kind"}, "a second region at the same place as " +
                                                     with_line(design.log, first, first + ".kind") +
                                                     ", of another material");
          break;
        }
      }
  }
}

Design read_design(ReadingLog &log, const toml::table *source, const std::string &place,
                   const int painful_ray, const ShoeGiven &shoe) {
  TableReader table(log, source, place, {"designs[]"});
  Design design;
  design.name = table.label("name", "a design name").value_or("");
  design.title = table.text("title").value_or(design.name);
  if (const toml::node *fit = source->get("fit"); fit && !fit->is_number()) {
    Fault &f = table.fault("fit", "a number is wanted: 0 is flat, 1 is moulded (total contact)");
    f.found = found_words(*fit);
    f.allowed = catalogue_row("designs[].fit").allowed_words();
  } else {
    design.fit = table.number_or_default("fit");
  }

  if (table.has("like")) // what stands in the file was written out before
    table.fault("like", "stands in the file only, not in --set");
  const std::size_t faults_before = log.faults.size();
  const auto layers = table.table_list("layers");
  for (std::size_t i = 0; i < layers.size(); ++i) {
    TableReader layer(log, layers[i], place + ".layers[" + std::to_string(i + 1) + "]",
                      {"designs[].layers[]"});
    design.layers.push_back(read_layer(layer));
  }
  if (layers.empty() && log.faults.size() == faults_before)
    table.fault("layers", "missing: a design has a sole, a base and a cover, each a [[designs.layers]]");
  else if (log.faults.size() == faults_before)
    check_layers(table, design.layers);

  const ShoeGiven worn = read_shoe(log, table.sub_table("shoe"), place + ".shoe", shoe);
  design.shoe = worn.shoe;
  const bool has_sole = std::any_of(design.layers.begin(), design.layers.end(),
                                    [](const Layer &l) { return l.role == LayerRole::sole; });
  if (!has_sole)
    design.layers.insert(design.layers.begin(), worn.sole);
  if (!table.is_word("support", "none")) {
    const auto elements = table.table_list("support");
    for (std::size_t i = 0; i < elements.size(); ++i)
      design.support.push_back(
          read_support(log, elements[i], place + ".support[" + std::to_string(i + 1) + "]", painful_ray));
    if (elements.size() > 12)
      table.fault("support", "more than 12 support elements in a design");
  }
  if (log.faults.size() == faults_before) {
    check_support(table, design);
    check_plates(table, design);
  }
  table.refuse_unknown();
  return design;
}

} // namespace

namespace {

/// The title as it reads: blanks at its ends and their number do not count.
std::string as_read(const std::string &title) {
  std::istringstream words(title);
  std::string text, word;
  while (words >> word)
    text += (text.empty() ? "" : " ") + word;
  return text;
}

/// Names and titles tell designs apart; a design without a title has its name for one.
void check_apart(TableReader here, const std::vector<Design> &designs) {
  const Design &last = designs.back();
  const auto refuse = [&](const std::string &key, const std::size_t other, const std::string &found) {
    here.fault(key, "designs[" + std::to_string(other + 1) + "] has the same " + key).found =
        "\"" + printable(found) + "\"";
  };
  for (std::size_t k = 0; k + 1 < designs.size(); ++k)
    if (!last.name.empty() && last.name == designs[k].name)
      return refuse("name", k, last.name);
  for (std::size_t k = 0; k + 1 < designs.size(); ++k)
    if (!as_read(last.title).empty() && as_read(last.title) == as_read(designs[k].title))
      return refuse("title", k, last.title);
}

} // namespace

std::vector<Design> read_designs(TableReader &top, const int painful_ray, const std::size_t least) {
  const ShoeGiven shoe = read_shoe(top.log, top.sub_table("shoe"), "shoe");
  std::vector<Design> designs;
  const std::size_t faults_before = top.log.faults.size();
  const auto sources = top.table_list("designs");
  for (std::size_t i = 0; i < sources.size(); ++i) {
    const std::string place = "designs[" + std::to_string(i + 1) + "]";
    designs.push_back(read_design(top.log, sources[i], place, painful_ray, shoe));
    check_apart(TableReader(top.log, sources[i], place, {"designs[]"}), designs);
  }
  if (sources.empty() && top.log.faults.size() == faults_before)
    top.fault("designs", "missing: a case has two to twelve designs, each a [[designs]]");
  if ((!sources.empty() && sources.size() < least) || sources.size() > 12) {
    Fault &f = top.fault("designs",
                         sources.size() > 12 ? "too many designs" : "a comparison needs two designs or more");
    f.found = std::to_string(sources.size());
    f.allowed = "2 to 12";
  }
  return designs;
}

} // namespace raybend
