// The tables [beam.section], [beam.material] and [beam.top_material].
#include "cases/lab/beam_section_reader.hpp"
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

void read_sizes(TableReader &table, const ShapeKeys &keys, Beam &beam) {
  std::vector<std::string> own = keys.needed;
  own.insert(own.end(), keys.may.begin(), keys.may.end());
  const auto is_own = [&own](const std::string &name) {
    return std::find(own.begin(), own.end(), name) != own.end();
  };
  for (const std::string &name : names_in("beam.section"))
    if (name != "shape" && table.has(name) && !is_own(name)) {
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
  const auto read_end = [&](const std::string &before, const SectionSize &other) -> SectionSize {
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
  };
  s.start = read_end("", {1, 1, 0, 0});
  s.thickness = get("thickness_mm", 0);
  s.bottom_depth = get("bottom_depth_mm", 0);
  if (keys.shape == SectionShape::layered)
    s.start.depth = s.bottom_depth + get("top_depth_mm", 1);
  s.end = read_end("end_", s.start);
}

void check_sizes(TableReader &table, const Beam &beam) {
  const SectionForm &s = beam.section;
  const bool round = s.shape == SectionShape::tube;
  for (const bool end : {false, true}) {
    const SectionSize &d = end ? s.end : s.start;
    const auto hollow = [&](const std::string &name, const double inner, const double outer) {
      if (inner == 0 || inner <= 0.98 * outer)
        return;
      const std::string key = (end && table.has("end_" + name) ? "end_" : "") + name;
      Fault &f = table.fault(key, std::string("leaves no wall at the ") + (end ? "far end" : "start"));
      f.found = number_text(inner, 10);
      f.allowed = "at most " + number_text(0.98 * outer, 6) + " mm (0.98 of the outside)";
    };
    const std::size_t before = table.log.faults.size();
    hollow(round ? "inner_diameter_mm" : "inner_width_mm", d.inner_width, d.width);
    if (!round)
      hollow("inner_depth_mm", d.inner_depth, d.depth);
    if (table.log.faults.size() > before)
      break;
  }
  if (s.shape == SectionShape::z_section &&
      (s.start.depth < 2.5 * s.thickness || s.start.width < 1.5 * s.thickness)) {
    Fault &f = table.fault("thickness_mm", "too thick for a z_section");
    f.found = number_text(s.thickness, 10);
    f.allowed = "at most " + number_text(std::min(s.start.depth / 2.5, s.start.width / 1.5), 4) + " mm";
  }
  const double depth = std::max({s.start.depth, s.end.depth, s.start.width, s.end.width});
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
