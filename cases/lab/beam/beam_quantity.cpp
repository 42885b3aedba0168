// What a beam's quantities are, how they are read from the file and from the solved beam.
#include "cases/lab/beam/beam_quantity.hpp"
#include "geometry/beam_section.hpp"
#include "geometry/constants.hpp"
#include "solver/beam/solid.hpp"
#include <cmath>

namespace raybend {

namespace {

const char *unit_of(const std::string &kind) {
  return kind == "slope"                                 ? "rad"
         : kind == "deflection_angle"                    ? "deg"
         : kind == "force" || kind == "reaction"         ? "N"
         : kind == "moment" || kind == "reaction_moment" ? "N mm"
         : kind == "stress"                              ? "MPa"
         : kind == "touching"                            ? ""
                                                         : "mm";
}

BeamQuantity read_quantity(TableReader &table, const Beam &beam, const std::string &known,
                           const std::string &source) {
  BeamQuantity q;
  q.shown.name = table.text("name").value_or("");
  q.kind = table.text("kind").value_or("deflection");
  q.shown.unit = unit_of(q.kind);
  q.at = table.number("at_mm").value_or(beam.length);
  q.from = table.number("from_mm").value_or(-1);
  for (const char *place : {"at_mm", "from_mm"})
    if (beam.length > 0 && (place[0] == 'a' ? q.at : q.from) > beam.length * (1 + 1e-12))
      table.fault(place, "lies beyond the far end");
  const bool turns = q.kind == "slope" || q.kind == "moment" || q.kind == "reaction_moment";
  q.axis = table.text("axis").value_or(turns ? "y" : "z").back() - 'x';
  const bool of_support = q.kind == "reaction" || q.kind == "reaction_moment" || q.kind == "touching";
  const auto support = table.integer("support");
  const auto strange = [&](const char *name, const bool belongs) {
    if (table.has(name) && !belongs)
      table.fault(name, "does not belong to kind \"" + q.kind + "\"");
  };
  const bool size = q.kind == "deflection_size" || q.kind == "deflection_angle";
  strange("at_mm", !of_support);
  strange("from_mm", !of_support && !size);
  strange("axis", q.kind != "stress" && q.kind != "touching" && !size);
  strange("support", of_support);
  strange("load_step", q.kind != "stress");
  for (const char *part : {"y_part", "z_part"})
    strange(part, q.kind == "stress");
  if (of_support && !support)
    table.fault("support", "missing: kind \"" + q.kind + "\" needs it");
  if (support && *support > int(beam.supports.size()))
    table.fault("support", "no such support");
  q.support = support ? *support - 1 : 0;
  q.load_step = table.integer("load_step").value_or(0);
  if (q.load_step > beam.load_steps)
    table.fault("load_step", "no such step").allowed =
        "1 to " + std::to_string(beam.load_steps) + " (beam.load_steps)";
  q.y_part = table.number("y_part").value_or(0);
  q.z_part = table.number("z_part").value_or(1);
  q.shown.reference = table.number("reference").value_or(0);
  q.shown.known = table.text("known").value_or(known);
  q.shown.source = table.text("source").value_or(source);
  q.shown.tolerance_percent = table.number("tolerance_percent").value_or(0);
  q.shown.decides = table.boolean("decides").value_or(true);
  q.shown.note = table.text("note").value_or("");
  q.shown.why = table.text("why").value_or("");
  if (q.kind == "touching")
    q.shown.tolerance = 0.5; // yes or no
  if (q.kind != "stress")
    q.shown.formal_order = 4; // work of the loads: twice the order of strain
  table.refuse_unknown();
  return q;
}

} // namespace

std::vector<BeamQuantity> read_beam_quantities(ReadingLog &log, const toml::table &root, const Beam &beam,
                                               const std::string &known, const std::string &source) {
  TableReader top(log, &root, "", {"beam_quantity[]"});
  const auto list = top.table_list("quantity");
  std::vector<BeamQuantity> quantities;
  for (std::size_t i = 0; i < list.size(); ++i) {
    TableReader one(log, list[i], "quantity[" + std::to_string(i + 1) + "]", {"beam_quantity[]"});
    quantities.push_back(read_quantity(one, beam, known, source));
  }
  return quantities;
}

std::vector<double> places_of(const std::vector<BeamQuantity> &quantities) {
  std::vector<double> list;
  for (const BeamQuantity &q : quantities)
    for (const double s : {q.at, q.from})
      if (s >= 0)
        list.push_back(s);
  return list;
}

double value_of(const BeamQuantity &q, const BeamSolid &solid) {
  const SolidResult &last = solid.result();
  const SolidResult &r =
      q.load_step == 0 || q.load_step > int(last.steps.size()) ? last : last.steps[q.load_step - 1];
  const auto read = [&](const double s) {
    const SolidStation &station = r.at(s);
    const Vec3 u = r.displacement(s);
    if (q.kind == "deflection_size")
      return std::hypot(u[1], u[2]);
    if (q.kind == "deflection_angle")
      return std::atan2(u[1], u[2]) * 180 / pi;
    if (q.kind == "slope")
      return station.rotation[q.axis];
    if (q.kind == "force")
      return station.force[(q.axis)];
    if (q.kind == "moment")
      return station.moment[q.axis];
    if (q.kind == "stress") {
      const auto logical = outline_point(solid.beam(), q.y_part, q.z_part);
      return solid.stress(s, logical[0], logical[1]);
    }
    if (q.kind == "reaction")
      return r.force[q.support][q.axis];
    if (q.kind == "reaction_moment")
      return r.moment[q.support][q.axis];
    if (q.kind == "touching")
      return r.touching[q.support] ? 1.0 : 0.0;
    return u[q.axis];
  };
  return read(q.at) - (q.from >= 0 ? read(q.from) : 0.0);
}

} // namespace raybend
