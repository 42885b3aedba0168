// The sample: model questions at the case's own numbers, then drawn feet, a part of them on the finer mesh too.
#include "cases/sure/sample_feet.hpp"
#include "cases/run/handled_signals.hpp"
#include "cases/run/processes.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/solve_plan.hpp"
#include "cases/run/step_solver.hpp"
#include "cases/study/plan/plan.hpp"
#include "cases/sure/evidence.hpp"
#include "cases/sure/foot_solver.hpp"
#include "cases/sure/uncertain.hpp"
#include "postprocess/sure/proposal.hpp"
#include "postprocess/sure/sureness.hpp"
#include "postprocess/text/number_text.hpp"
#include "solver/versions.hpp"
#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <functional>
#include <limits>
#include <optional>
#include <sstream>

namespace raybend {

namespace {

constexpr std::size_t finer_every =
    20; ///< of the drawn feet one is solved on the standard mesh too, if it is kept (chosen)
constexpr std::size_t scouts = 40;       ///< feet walked barefoot in each of two rounds (chosen)
constexpr double scouts_part = 0.25;     ///< of the time for each round, at most (chosen)
constexpr std::size_t pool_size = 20000; ///< feet of people that the sample is drawn from (chosen)

constexpr double foot_tolerance = 1e-5; ///< out of balance, of the applied force (chosen)

/// One piece of work: a foot, or an answer to a question of the model.
struct Piece {
  std::vector<double> z;
  std::function<void(Case &)> change; ///< of a question of the model; empty: a foot
  double worth = 0;                   ///< least log_likelihood at which the designs are solved
  bool finer = false;
};

struct Question {
  std::string name;
  std::vector<std::pair<std::string, std::function<void(Case &)>>> others;
};

/// What the model leaves open: how a person stands when the insole changes, how the shoe holds, how skin and insole press and
/// shear one another. Factors assumed. Slip between them is not in the model.
std::vector<Question> questions_of(const Case &c) {
  const auto posture = [](PostureRule rule) {
    return [rule](Case &m) {
      for (DayActivity &d : m.day)
        d.activity.posture = rule;
    };
  };
  const auto upper = [](double factor) {
    return [factor](Case &m) {
      for (Design &d : m.designs) {
        d.shoe.upper_force *= factor;
        d.shoe.upper_stiffness *= factor;
      }
    };
  };
  const auto skin = [](double factor) {
    return [factor](Case &m) {
      m.settings.contact_stiffness *= factor;
      m.settings.skin_grip *= factor;
    };
  };
  std::vector<Question> list = {
      {posture_question, {}},
      {"hold of the shoe's upper", {{"none", upper(0)}, {"twice", upper(2)}}},
      {"give of skin and sock", {{"three times as stiff", skin(3)}, {"a third as stiff", skin(1.0 / 3)}}}};
  const std::pair<PostureRule, const char *> rules[] = {{PostureRule::ankle, "held by the ankle"},
                                                        {PostureRule::kept, "kept"},
                                                        {PostureRule::moment_kept, "moments kept"}};
  for (const auto &[rule, name] : rules)
    if (std::any_of(c.day.begin(), c.day.end(),
                    [r = rule](const DayActivity &d) { return d.activity.posture != r; }))
      list[0].others.emplace_back(name, posture(rule));
  return list;
}

/// The lists of a result, for both ways through a pipe.
template <typename Result> auto lists_of(Result &r) {
  std::vector<decltype(&r.mesh.fine)> lists = {&r.outputs.strain,   &r.outputs.head_rise, &r.outputs.ray_rise,
                                               &r.outputs.evidence, &r.mesh.coarse,       &r.mesh.fine};
  for (auto &strain : r.by_law)
    lists.push_back(&strain);
  return lists;
}

std::string packed(const FootResult &r) {
  std::ostringstream text;
  text.precision(17);
  text << r.only_barefoot << " " << r.by_law.size() << " ";
  for (const auto *list : lists_of(r)) {
    text << list->size();
    for (const double x : *list)
      text << " " << (std::isnan(x) ? 1e300 : std::isinf(x) ? std::copysign(2e300, x) : x);
    text << " ";
  }
  return text.str();
}

FootResult unpacked(std::istringstream &text) {
  FootResult r;
  std::size_t laws = 0;
  text >> r.only_barefoot >> laws;
  r.by_law.resize(laws);
  for (auto *list : lists_of(r)) {
    std::size_t n = 0;
    text >> n;
    list->resize(n);
    for (double &x : *list) {
      text >> x;
      if (x == 1e300)
        x = std::nan("");
      else if (std::abs(x) == 2e300)
        x = std::copysign(std::numeric_limits<double>::infinity(), x);
    }
  }
  return r;
}

/// What people have: N(0, 1) cut at 3 for every number, as a Latin hypercube.
std::vector<std::vector<double>> feet_of_people(const std::size_t feet, const std::size_t numbers,
                                                const std::uint64_t seed) {
  const boost::math::normal normal;
  const double low = cdf(normal, -3.0), high = cdf(normal, 3.0);
  std::vector<std::vector<double>> sample = latin_hypercube(feet, numbers, seed);
  for (std::vector<double> &z : sample)
    for (double &u : z)
      u = quantile(normal, low + u * (high - low));
  return sample;
}

/// The instant of each activity, and what the mesh changes there.
std::vector<std::size_t> instants_of(const Case &c, const std::map<std::string, StepResult> &results,
                                     std::vector<MeshPair> &meshes) {
  std::vector<std::size_t> instants;
  for (std::size_t a = 0; a < c.day.size(); ++a) {
    const auto of = [&](const Design &d) { return results.find(solve_key(c, a, d)); };
    const auto reference = of(reference_design(c));
    const bool solved = reference != results.end() && !reference->second.empty() &&
                        std::all_of(reference->second.begin(), reference->second.end(),
                                    [](const DesignResult &r) { return r.converged; });
    instants.push_back(solved && c.day[a].course.size() > 1 ? reference_of(c, a, reference->second).worst
                                                            : 0);
    if (!solved || c.settings.resolution != Resolution::standard || c.day.size() > 1)
      continue;
    std::vector<std::vector<DesignResult>> there(1);
    for (const Design &d : c.designs)
      if (const auto it = of(d); it != results.end())
        for (const DesignResult &r : it->second)
          if (c.day[a].course.size() < 2 || r.stance_percent == c.day[a].course[instants[a]].stance_percent)
            there[0].push_back(r);
    if (there[0].size() == c.designs.size())
      meshes.push_back({outputs_of(c, there, true).strain, outputs_of(c, there, false).strain});
  }
  return instants;
}

/// Solves pieces side by side, as many as the time allows. False where a signal ended it.
bool solve_pieces(const std::vector<Piece> &pieces, const Case &base, const std::vector<Uncertain> &numbers,
                  const std::vector<PublishedNumber> &published, const double limit, const std::string &what,
                  ProgressLine &line, std::vector<std::optional<FootResult>> &found, std::string &trouble) {
  found.assign(pieces.size(), {});
  const std::size_t workers = std::min<std::size_t>(process_count(), pieces.size());
  std::vector<Work> work(workers);
  for (std::size_t k = 0; k < workers; ++k)
    work[k].run = [&, k](const Talk &talk) {
      start_alone();
      {
        FootSolver solver;
        double longest = 0;
        for (std::size_t i = k; i < pieces.size() && line.seconds() + longest < limit; i += workers) {
          const double begun = line.seconds();
          const Piece &piece = pieces[i];
          Case foot = moved_case(base, numbers, piece.z);
          foot.settings.resolution = piece.finer ? Resolution::standard : Resolution::coarse;
          foot.settings.newton_tolerance = std::max(foot.settings.newton_tolerance, foot_tolerance);
          FootResult r;
          r.outputs = no_outputs(base.designs.size());
          try {
            if (piece.change) {
              piece.change(foot);
              FootSolver of_its_own; // a question may change what a model is built with
              r = of_its_own.solve(foot);
            } else {
              r = solver.solve_worth(foot, [&](const std::vector<double> &evidence) {
                return log_likelihood(evidence, published) >= piece.worth;
              });
            }
          } catch (const std::exception &) { // no such foot: its bones touch, or nothing holds a part of it
          }
          if (!piece.finer)
            longest = std::max(longest, line.seconds() - begun);
          talk.send(std::to_string(i) + " " + packed(r));
        }
      }
      stop_parallel();
    };
  std::size_t done = 0;
  Heard heard;
  const double begun = line.seconds();
  heard.received = [&](std::size_t, const std::string &bytes) {
    std::istringstream text(bytes);
    std::size_t i = 0;
    text >> i;
    found[i] = unpacked(text);
    ++done;
    const double now = line.seconds(),
                 left = std::min(limit - now, (now - begun) / done * (pieces.size() - done));
    line.say("how sure: " + what + " " + std::to_string(done) + " of " + std::to_string(pieces.size()) +
             ", about " + time_words(std::max(0.0, left)) + " left; Ctrl-C: with what is known by now");
  };
  heard.said = [](std::size_t, const std::string &) {};
  heard.finished = [&](std::size_t, const std::string &why, bool) {
    if (trouble.empty())
      trouble = why;
  };
  try {
    run_side_by_side(work, heard);
    return true;
  } catch (const StoppedBySignal &) {
    return false;
  }
}

} // namespace

FootSample sample_feet(const Case &c, const std::map<std::string, StepResult> &results,
                       const SampleControl &control) {
  FootSample sample;
  sample.published = barefoot_numbers();
  sample.reference = &reference_design(c) - c.designs.data();
  for (const Design &d : c.designs)
    sample.designs.push_back(d.name);
  const Case base = at_instants(c, instants_of(c, results, sample.meshes));
  const std::vector<Uncertain> numbers = uncertain_numbers(base);
  for (const Uncertain &u : numbers)
    sample.numbers.push_back(u.number);
  const double everything = -std::numeric_limits<double>::infinity(), barefoot_only = -everything;
  const std::vector<double> still(numbers.size(), 0);
  // the case's own numbers under every answer to the questions of the model; scouts, barefoot alone
  std::vector<Piece> first = {{still, {}, everything, false}};
  const std::vector<Question> questions = questions_of(c);
  for (const Question &q : questions)
    for (const auto &[name, change] : q.others)
      first.push_back({still, change, everything, false});
  const std::size_t scouts_from = first.size();
  for (std::vector<double> &z : feet_of_people(2 * scouts, numbers.size(), control.seed))
    if (first.size() < scouts_from + scouts && is_foot(moved_case(base, numbers, z)))
      first.push_back({std::move(z), {}, barefoot_only, false});
  ProgressLine line(control.shown);
  const double limit = 60 * control.minutes;
  std::vector<std::optional<FootResult>> found;
  bool go_on = solve_pieces(first, base, numbers, sample.published, scouts_part * limit, "first scouts", line,
                            found, sample.trouble);
  const auto outputs = [&](const std::optional<FootResult> &r) {
    return r ? r->outputs : no_outputs(c.designs.size());
  };
  sample.base = outputs(found[0]);
  std::size_t next = 1;
  for (const Question &q : questions) {
    sample.model.push_back({q.name, {}});
    for (const auto &[name, change] : q.others)
      sample.model.back().others.push_back({name, outputs(found[next++])});
  }
  if (found[0] && !found[0]->by_law.empty()) { // the exponent at which a day's activities add up
    ModelQuestion exponent{"exponent of fatigue", {}};
    for (std::size_t law = 0; law < n_laws; ++law)
      if (law != one_law) {
        FootOutputs other = sample.base;
        other.strain = found[0]->by_law[law];
        exponent.others.push_back({"m = " + fixed(fatigue_laws[law].exponent, 1), other});
      }
    sample.model.push_back(exponent);
  }
  const std::vector<std::vector<double>> pool = feet_of_people(pool_size, numbers.size(), control.seed + 1);
  const auto draw = [&](Proposal &proposal, const std::size_t feet, const std::uint64_t seed) {
    std::vector<DrawnFoot> drawn = proposal.draw(pool, 2 * feet, seed);
    drawn.erase(std::remove_if(drawn.begin(), drawn.end(),
                               [&](const DrawnFoot &f) { // people have none such
                                 return !is_foot(moved_case(base, numbers, pool[f.place]));
                               }),
                drawn.end());
    drawn.resize(std::min(drawn.size(), feet));
    return drawn;
  };
  std::vector<SolvedFoot> scouted;
  const auto learn = [&](const std::vector<Piece> &pieces, const std::size_t from) {
    for (std::size_t i = from; i < pieces.size(); ++i)
      if (found[i] && !found[i]->outputs.evidence.empty())
        scouted.push_back({pieces[i].z, found[i]->outputs, 0, true});
  };
  learn(first, scouts_from);
  const std::size_t of_people = scouted.size();
  Proposal proposal(scouted, sample.published);
  if (go_on) { // a second round, where the first has the likely feet
    std::vector<Piece> second;
    for (const DrawnFoot &f : draw(proposal, scouts, control.seed + 2))
      second.push_back({pool[f.place], {}, barefoot_only, false});
    go_on = solve_pieces(second, base, numbers, sample.published, 2 * scouts_part * limit, "second scouts",
                         line, found, sample.trouble);
    learn(second, 0);
  }
  if (go_on) {
    const Proposal before = proposal;
    proposal = Proposal(scouted, sample.published);
    const std::vector<DrawnFoot> drawn = draw(proposal, control.feet, control.seed + 3);
    // which designs are worth their solving, from what the scouts would weigh
    std::vector<double> weight, number;
    for (std::size_t i = 0; i < scouted.size(); ++i) {
      const double r = proposal.density(scouted[i].z);
      weight.push_back(std::exp(log_likelihood(scouted[i].outputs.evidence, sample.published)) / r);
      number.push_back(r / (i < of_people ? 1 : before.density(scouted[i].z)));
    }
    const double level = thinning_level(weight, number, base.designs.size() * c.day.size());
    const auto log_weight = [&](const DrawnFoot &f) { return -f.log_proposal(2 * control.feet); };
    std::vector<Piece> pieces;
    for (const DrawnFoot &f : drawn) {
      pieces.push_back({pool[f.place], {}, std::log(level * f.luck) - log_weight(f), false});
      pieces.back().finer =
          c.settings.resolution != Resolution::coarse && pieces.size() % finer_every == finer_every / 2;
    }
    solve_pieces(pieces, base, numbers, sample.published, limit, "feet", line, found, sample.trouble);
    std::size_t made = 0; // draws whose feet are there
    for (std::size_t i = 0; i < pieces.size(); ++i)
      if (found[i])
        made = drawn[i].draws.front() + 1;
    for (std::size_t i = 0; i < pieces.size(); ++i)
      if (found[i]) {
        const FootResult &r = *found[i];
        const double kept = r.outputs.evidence.empty()
                                ? 1
                                : chance_kept(std::exp(log_likelihood(r.outputs.evidence, sample.published) +
                                                       log_weight(drawn[i])),
                                              level);
        sample.feet.push_back({pieces[i].z, r.outputs, drawn[i].log_proposal(made), r.only_barefoot, kept});
        if (!r.mesh.fine.empty())
          sample.meshes.push_back(r.mesh);
      }
  }
  line.say("");
  sample.seconds = line.seconds();
  return sample;
}

} // namespace raybend
