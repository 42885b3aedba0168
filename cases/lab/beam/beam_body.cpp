// A textbook case about a beam: solved level by level, its quantities and curves.
#include "cases/lab/beam/beam_body.hpp"
#include "cases/lab/beam/beam_quantity.hpp"
#include "cases/lab/beam/beam_reader.hpp"
#include "solver/beam/frame.hpp"
#include "solver/beam/solid.hpp"
#include <cmath>

namespace raybend {

namespace {

class BeamTextbookBody : public TextbookBody {
public:
  BeamTextbookBody(const Beam &beam, std::vector<BeamQuantity> quantities)
      : quantities_(std::move(quantities)), solid_(beam, places_of(quantities_)) {}

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
      out.values.push_back(value_of(q, solid_));
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
  std::vector<BeamQuantity> quantities_;
  BeamSolid solid_;
};

} // namespace

std::unique_ptr<TextbookBody> make_beam_body(ReadingLog &log, const toml::table &root,
                                             const std::string &known, const std::string &source) {
  int levels = 0;
  const std::size_t before = log.faults.size();
  const Beam beam = read_beam_table(log, root, levels);
  if (!root.contains("quantity"))
    log.fault("quantity", 1,
              "missing: a line [[quantity]] with its keys below; without any, solve it by raybend beam");
  std::vector<BeamQuantity> quantities = read_beam_quantities(log, root, beam, known, source);
  if (log.faults.size() > before)
    return nullptr;
  return std::make_unique<BeamTextbookBody>(beam, std::move(quantities));
}

} // namespace raybend
