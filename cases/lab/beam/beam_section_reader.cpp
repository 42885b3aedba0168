// From [beam.section] and the materials' tables to a beam's section.
#include "cases/lab/beam/beam_section_reader.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

struct ShapeKeys {
  const char *name;
  SectionShape shape;
  std::vector<std::string> needed, may;
};

const std::vector<ShapeKeys> &shape_keys() {
  static const std::vector<ShapeKeys> list = {
      {"rectangle", SectionShape::rectangle, {"width_mm", "depth_mm"}, {"end_width_mm", "end_depth_mm"}},
      {"circle", SectionShape::circle, {"diameter_mm"}, {"end_diameter_mm"}},
      {"ellipse", SectionShape::ellipse, {"width_mm", "depth_mm"}, {"end_width_mm", "end_depth_mm"}},
      {"tube",
       SectionShape::tube,
       {"diameter_mm", "inner_diameter_mm"},
       {"end_diameter_mm", "end_inner_diameter_mm"}},
      {"elliptic_tube",
       SectionShape::elliptic_tube,
       {"width_mm", "depth_mm", "inner_width_mm", "inner_depth_mm"},
       {"end_width_mm", "end_depth_mm", "end_inner_width_mm", "end_inner_depth_mm"}},
      {"z_section", SectionShape::z_section, {"width_mm", "depth_mm", "thickness_mm"}, {}},
      {"layered", SectionShape::layered, {"width_mm", "bottom_depth_mm", "top_depth_mm"}, {}}};
  return list;
}

template <typename Get>
SectionSize read_size(const Get &get, const bool round, const std::string &before, const SectionSize &other) {
  SectionSize d;
  if (round) {
    d.width = d.depth = get(before + "diameter_mm", other.width);
    d.inner_width = d.inner_depth = get(before + "inner_diameter_mm", other.inner_width);
  } else {
    d.width = get(before + "width_mm", other.width);
    d.depth = get(before + "depth_mm", other.depth);
    d.inner_width = get(before + "inner_width_mm", other.inner_width);
    d.inner_depth = get(before + "inner_depth_mm", other.inner_depth);
  }
  return d;
}

void read_sizes(TableReader &table, const ShapeKeys &keys, Beam &beam) {
  std::vector<std::string> own = keys.needed;
  own.insert(own.end(), keys.may.begin(), keys.may.end());
  const auto is_own = [&own](const std::string &name) {
    return std::find(own.begin(), own.end(), name) != own.end();
  };
  for (const std::string &name : names_in("beam.section"))
    if (name != "shape" && name != "step" && table.has(name) && !is_own(name)) {
      Fault &f = table.fault(name, std::string("does not belong to shape \"") + keys.name + "\"");
      f.allowed = list_text(own);
    }
  for (const std::string &name : keys.needed)
    if (!table.has(name))
      table.fault(name, std::string("missing: shape \"") + keys.name + "\" needs it");
  const auto get = [&](const std::string &name, const double otherwise) {
    return is_own(name) && table.has(name) ? table.number(name).value_or(otherwise) : otherwise;
  };
  SectionForm &s = beam.section;
  const bool round = keys.shape == SectionShape::circle || keys.shape == SectionShape::tube;
  s.start = read_size(get, round, "", {1, 1, 0, 0});
  s.thickness = get("thickness_mm", 0);
  s.bottom_depth = get("bottom_depth_mm", 0);
  if (keys.shape == SectionShape::layered)
    s.start.depth = s.bottom_depth + get("top_depth_mm", 1);
  s.end = read_size(get, round, "end_", s.start);
}

/// The steps of the section; each may change what the shape may have otherwise at the far end.
void read_steps(TableReader &section, const ShapeKeys &keys, Beam &beam) {
  std::vector<std::string> sizes;
  for (const std::string &end : keys.may)
    sizes.push_back(end.substr(4)); // without "end_"
  const auto list = section.table_list("step");
  for (std::size_t i = 0; i < list.size(); ++i) {
    TableReader table(section.log, list[i], "beam.section.step[" + std::to_string(i + 1) + "]",
                      {"beam.section.step[]"});
    const SectionSize &before = i > 0 ? beam.section.steps.back().size : beam.section.start;
    SectionStep step;
    step.at = table.number("at_mm").value_or(0);
    const bool round = keys.shape == SectionShape::circle || keys.shape == SectionShape::tube;
    step.size = read_size([&](const std::string &name,
                              const double otherwise) { return table.number(name).value_or(otherwise); },
                          round, "", before);
    for (const std::string &name : names_in("beam.section.step[]"))
      if (name != "at_mm" && table.has(name) && std::find(sizes.begin(), sizes.end(), name) == sizes.end())
        table.fault(name, std::string("does not step in shape \"") + keys.name + "\"").allowed =
            sizes.empty() ? "no steps in this shape" : list_text(sizes);
    const double from = i > 0 ? beam.section.steps.back().at : 0;
    if (table.has("at_mm") && beam.length > 0 && (step.at <= from || step.at >= beam.length)) {
      Fault &f =
          table.fault("at_mm", i > 0 ? "steps stand in their order along the beam" : "a step stands inside");
      f.found = number_text(step.at, 10);
      f.allowed = "between " + number_text(from, 10) + " and " + number_text(beam.length, 10) + " mm";
    }
    table.refuse_unknown();
    beam.section.steps.push_back(step);
  }
  if (!list.empty())
    for (const std::string &end : keys.may)
      if (section.has(end))
        section.fault(end, "a section tapers or steps, not both");
}

void check_sizes(TableReader &table, const Beam &beam) {
  const SectionForm &s = beam.section;
  const bool round = s.shape == SectionShape::tube;
  const auto check = [&](const SectionSize &d, const std::string &prefix, const std::string &where) {
    const auto hollow = [&](const std::string &name, const double inner, const double outer) {
      if (inner == 0 || inner <= 0.98 * outer)
        return;
      Fault &f = table.fault((table.has(prefix + name) ? prefix : "") + name, "leaves no wall " + where);
      f.found = number_text(inner, 10);
      f.allowed = "at most " + number_text(0.98 * outer, 6) + " mm (0.98 of the outside)";
    };
    const std::size_t before = table.log.faults.size();
    hollow(round ? "inner_diameter_mm" : "inner_width_mm", d.inner_width, d.width);
    if (!round)
      hollow("inner_depth_mm", d.inner_depth, d.depth);
    return table.log.faults.size() == before;
  };
  if (check(s.start, "", "at the start"))
    check(s.end, "end_", "at the far end");
  for (const SectionStep &step : s.steps)
    check(step.size, "", "at the step at " + number_text(step.at, 10) + " mm");
  if (s.shape == SectionShape::z_section &&
      (s.start.depth < 2.5 * s.thickness || s.start.width < 1.5 * s.thickness)) {
    Fault &f = table.fault("thickness_mm", "too thick for a z_section");
    f.found = number_text(s.thickness, 10);
    f.allowed = "at most " + number_text(std::min(s.start.depth / 2.5, s.start.width / 1.5), 4) + " mm";
  }
  const double depth = std::max(largest_depth(beam), largest_width(beam));
  if (beam.radius != 0 && std::abs(beam.radius) < 0.75 * depth)
    table.fault("shape", "the axis bends too sharply for this section; found radius " +
                             number_text(beam.radius, 6) + " mm; allowed beyond +-" +
                             number_text(0.75 * depth, 4) + " mm");
  if (beam.length > 0 && beam.length < depth) {
    Fault &f = table.fault("shape", "not a beam: the section is larger than the length");
    f.found = number_text(depth, 6) + " mm";
    f.allowed = "at most " + number_text(beam.length, 6) + " mm (length_mm)";
  }
}

void read_material(TableReader &beam_table, const std::string &name, Elastic &m) {
  const toml::table *source = beam_table.sub_table(name);
  if (!source) {
    if (!beam_table.has(name))
      beam_table.fault(name, "missing table [beam." + name + "]");
    return;
  }
  TableReader table(beam_table.log, source, "beam." + name, {"beam." + name});
  m.e = table.number("e_mpa").value_or(1);
  m.nu = table.number("nu").value_or(0);
  m.expansion = table.number("expansion_per_k").value_or(0);
  table.refuse_unknown();
}

} // namespace

void read_beam_section(TableReader &beam_table, Beam &beam) {
  const toml::table *source = beam_table.sub_table("section");
  if (!source && !beam_table.has("section"))
    beam_table.fault("section", "missing table [beam.section]");
  if (source) {
    TableReader table(beam_table.log, source, "beam.section", {"beam.section"});
    const auto shape = table.text("shape");
    for (const ShapeKeys &keys : shape_keys())
      if (shape && *shape == keys.name) {
        beam.section.shape = keys.shape;
        const std::size_t before = table.log.faults.size();
        read_sizes(table, keys, beam);
        read_steps(table, keys, beam);
        if (table.log.faults.size() == before)
          check_sizes(table, beam);
      }
    table.refuse_unknown();
  }
  read_material(beam_table, "material", beam.material);
  if (beam.section.shape == SectionShape::layered)
    read_material(beam_table, "top_material", beam.top_material);
  else if (beam_table.has("top_material"))
    beam_table.fault("top_material", "belongs to shape \"layered\" only");
}

} // namespace raybend
