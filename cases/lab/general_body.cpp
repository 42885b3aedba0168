// A textbook case of the general kind: blocks, supports, loads and quantities given by formulas.
#include "cases/lab/general_body.hpp"
#include "cases/lab/readings.hpp"
#include "postprocess/lab/body_fields.hpp"
#include "postprocess/text/number_text.hpp"
#include "solver/body/body.hpp"
#include "solver/body/rotation.hpp"
#include <algorithm>
#include <chrono>
#include <deal.II/base/tensor.h>

namespace raybend {

namespace {

constexpr unsigned most_turns = 60, most_steps = 60, steps_a_turn = 6;
constexpr double settled = 1e-3; ///< change of a following load's rotation below which it rests

struct Variant {
  BoundProblem bound;
  std::unique_ptr<Readings> readings;
  std::vector<double> steps;
  double force_scale = 1, residual = 1e-9;
  std::unique_ptr<Body> body; ///< of the last level solved
};

/// Mean rotation of a face: the rotation of the polar decomposition of its mean deformation gradient.
Tensor2 mean_rotation(const Body &body, unsigned id) {
  Tensor2 mean;
  double area = 0;
  body.on_face(id, [&](const Sample &s, double weight, const Vec3 &) {
    mean += weight * (s.gradient + Tensor2(dealii::unit_symmetric_tensor<3>()));
    area += weight;
  });
  mean /= area;
  return rotation_of(mean);
}

class GeneralBody : public TextbookBody {
public:
  GeneralBody(const GeneralCase &c, ReadingLog &log) : case_(c) {
    std::vector<const VariantSpec *> list;
    for (const VariantSpec &v : case_.variants)
      list.push_back(&v);
    if (list.empty())
      list.push_back(nullptr);
    for (const VariantSpec *v : list) {
      Variant one;
      one.bound = bind_problem(case_, v, log);
      if (one.bound.problem.mesh.cells.empty())
        continue;
      one.readings = std::make_unique<Readings>(case_, one.bound, log);
      without_fault(log, [&] {
        for (const Entry &e : case_.steps)
          one.steps.push_back(number(e, one.bound.names));
        one.force_scale = number(case_.force_scale, one.bound.names);
        one.residual = number(case_.residual, one.bound.names);
      });
      if (one.steps.empty())
        one.steps = {1.0};
      variants_.push_back(std::move(one));
    }
  }

  std::vector<TextbookQuantity> quantities() const override {
    std::vector<TextbookQuantity> all;
    for (const Variant &v : variants_)
      for (const TextbookQuantity &q : v.readings->quantities())
        all.push_back(q);
    return all;
  }

  TextbookLevel solve(unsigned level) override {
    const auto start = std::chrono::steady_clock::now();
    TextbookLevel result;
    for (Variant &v : variants_) {
      v.readings->start_level();
      *v.bound.turn = dealii::unit_symmetric_tensor<3>();
      v.body = make_body(v, level);
      result.unknowns = std::max<unsigned long>(result.unknowns, v.body->op().m());
      try {
        if (case_.solver == "none")
          v.readings->read(*v.body, 0, true, false);
        else if (!case_.finite) {
          v.body->solve_linear(1e-11);
          v.readings->read(*v.body, 1, true, false);
        } else
          for (std::size_t s = 0; s < v.steps.size(); ++s) {
            reach(v, v.steps[s]);
            v.readings->read(*v.body, v.steps[s], s + 1 == v.steps.size(), true);
          }
      } catch (const std::runtime_error &error) {
        throw std::runtime_error((v.bound.variant.empty() ? "" : v.bound.variant + ": ") + error.what());
      }
      result.values.insert(result.values.end(), v.readings->values().begin(), v.readings->values().end());
    }
    result.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    return result;
  }

  std::vector<TextbookCurve> curves() const override {
    std::vector<TextbookCurve> all;
    for (const Variant &v : variants_)
      for (const TextbookCurve &c : v.readings->curves())
        all.push_back(c);
    return all;
  }

  void write_vtu(const std::string &path) const override {
    const std::string stem = path.substr(0, path.size() - 4);
    for (std::size_t i = 0; i < variants_.size(); ++i)
      if (variants_[i].body)
        write_body_fields(*variants_[i].body, case_.finite,
                          variants_.size() == 1 ? path : stem + "-" + std::to_string(i + 1) + ".vtu");
  }

private:
  std::unique_ptr<Body> make_body(const Variant &v, unsigned level) const {
    // About 24 unknowns a 27-node cell in a large mesh; factorizing is quicker than multigrid below the
    // limit.
    const double unknowns = 24.0 * v.bound.problem.mesh.cells.size() * std::pow(8.0, level);
    const bool direct = case_.solver == "direct" || (case_.solver != "multigrid" && unknowns < 40000);
    return std::make_unique<Body>(v.bound.problem, level, direct);
  }

  /// Newton's method at a load factor; loads that follow are turned with their face until they stay.
  void reach(Variant &v, double load) const {
    const bool follows = !v.bound.follows.empty();
    for (unsigned turn = 0; turn < (follows ? most_turns : 1); ++turn) {
      // Loads are turned before Newton has wholly come to rest: it would have to start again.
      const NewtonReport report =
          v.body->solve(load, v.force_scale, v.residual, follows ? steps_a_turn : most_steps);
      const bool on_the_way = follows && report.steps == steps_a_turn;
      if (!report.converged && !on_the_way)
        throw std::runtime_error("load factor " + fixed(load, 4) + ": " + report.reason + " (residual " +
                                 exact(report.residual) + " N)");
      if (!follows)
        return;
      const Tensor2 r = mean_rotation(*v.body, v.bound.face_ids.at(v.bound.follows));
      const double change = (r - *v.bound.turn).norm();
      *v.bound.turn = r;
      v.body->refresh();
      // What a turn leaves is about the square of its own change.
      if (report.converged && change < settled)
        return;
    }
    throw std::runtime_error("load factor " + fixed(load, 4) + ": the loads that follow do not come to rest");
  }

  const GeneralCase case_;
  std::vector<Variant> variants_;
};

} // namespace

std::unique_ptr<TextbookBody> make_general_body(const GeneralCase &c, ReadingLog &log) {
  return std::make_unique<GeneralBody>(c, log);
}

} // namespace raybend
