// A textbook case about a beam: its file's tables [beam] and [[quantity]] as a body to solve.
#include "cases/lab/beam_body.hpp"
#include "cases/lab/beam_reader.hpp"
#include "geometry/beam_section.hpp"
#include "geometry/constants.hpp"
#include "solver/beam/frame.hpp"
#include "solver/beam/solid.hpp"
#include <cmath>

namespace raybend {

namespace {

struct BeamQuantity {
  TextbookQuantity shown;
  std::string kind;
  double at = 0, from = -1; ///< from < 0: the value itself
  int axis = 2;
  std::size_t support = 0;
  double y_part = 0, z_part = 1;
};

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
  for (const char *part : {"y_part", "z_part"})
    strange(part, q.kind == "stress");
  if (of_support && !support)
    table.fault("support", "missing: kind \"" + q.kind + "\" needs it");
  if (support && *support > int(beam.supports.size()))
    table.fault("support", "no such support");
  q.support = support ? *support - 1 : 0;
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

std::vector<double> places(const std::vector<BeamQuantity> &quantities) {
  std::vector<double> list;
  for (const BeamQuantity &q : quantities)
    for (const double s : {q.at, q.from})
      if (s >= 0)
        list.push_back(s);
  return list;
}

class BeamTextbookBody : public TextbookBody {
public:
  BeamTextbookBody(const Beam &beam, std::vector<BeamQuantity> quantities)
      : quantities_(std::move(quantities)), solid_(beam, places(quantities_)) {}

  std::vector<TextbookQuantity> quantities() const override {
    std::vector<TextbookQuantity> list;
    for (const BeamQuantity &q : quantities_)
      list.push_back(q.shown);
    return list;
  }

  TextbookLevel solve(const unsigned level) override {
    const SolidResult &r = solid_.solve(level);
    TextbookLevel out;
    out.unknowns = r.unknowns;
    out.seconds = r.seconds;
    for (const BeamQuantity &q : quantities_)
      out.values.push_back(value(q));
    return out;
  }

  std::vector<TextbookCurve> curves() const override {
    const SolidResult &r = solid_.result();
    std::vector<double> stations;
    for (const SolidStation &s : r.stations)
      stations.push_back(s.s);
    const FrameResult theory = solve_frame(solid_.beam(), BeamTheory::timoshenko, stations);
    TextbookCurve deflection{"Deflection", "x, mm", "u_z, mm", {}, {}, {}};
    TextbookCurve moment{"Bending moment", "x, mm", "My, N mm", {}, {}, {}};
    for (const SolidStation &s : r.stations) {
      for (TextbookCurve *c : {&deflection, &moment})
        c->x.push_back(s.s);
      deflection.computed.push_back(s.u[2]);
      deflection.closed_form.push_back(theory.at(s.s).u[2]);
      moment.computed.push_back(s.moment[1]);
      moment.closed_form.push_back(theory.at(s.s).moment[1]);
    }
    return {deflection, moment};
  }

  void write_vtu(const std::string &path) const override { solid_.write_vtu(path); }

private:
  double value(const BeamQuantity &q) const {
    const SolidResult &r = solid_.result();
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
        const auto logical = outline_point(solid_.beam(), q.y_part, q.z_part);
        return solid_.stress(s, logical[0], logical[1]);
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

  std::vector<BeamQuantity> quantities_;
  BeamSolid solid_;
};

} // namespace

std::unique_ptr<TextbookBody> make_beam_body(ReadingLog &log, const toml::table &root,
                                             const std::string &known, const std::string &source) {
  int levels = 0;
  const std::size_t before = log.faults.size();
  const Beam beam = read_beam_table(log, root, levels);
  TableReader top(log, &root, "", {"beam_quantity[]"});
  const auto list = top.table_list("quantity");
  if (list.empty() && !top.has("quantity"))
    log.fault("quantity", 1, "missing: a line [[quantity]] with its keys below");
  std::vector<BeamQuantity> quantities;
  for (std::size_t i = 0; i < list.size(); ++i) {
    TableReader one(log, list[i], "quantity[" + std::to_string(i + 1) + "]", {"beam_quantity[]"});
    quantities.push_back(read_quantity(one, beam, known, source));
  }
  if (log.faults.size() > before)
    return nullptr;
  return std::make_unique<BeamTextbookBody>(beam, std::move(quantities));
}

} // namespace raybend
