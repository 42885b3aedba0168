// The sample is solved, then the rounds, batch by batch of the store's points.
#include "cases/best/run_best.hpp"
#include "cases/casefile/case_error.hpp"
#include "cases/study/plan/input_reader.hpp"
#include "cases/study/plan/plan.hpp"
#include "cases/study/run_study.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

namespace {

constexpr std::size_t most_corners = 8;

/// "" if these values make a case, at every draw; else the first fault.
std::string fault_at(const Best &best, const std::vector<StudyPoint> &draws,
                     const std::vector<double> &place) {
  for (const StudyPoint &draw : draws) {
    StudyPoint point = place;
    point.insert(point.end(), draw.begin(), draw.end());
    try {
      case_at(best.study, point);
    } catch (const CaseError &error) {
      return error.faults().front().message();
    }
  }
  return "";
}

/// Everything that a round's solves hang on besides the store itself.
std::string question_words(const Best &best) {
  std::string words = "tolerance " + number_text(best.tolerance_pct) + " %";
  if (best.is_day())
    words += ", law " + std::to_string(best.law);
  if (best.doubt != Doubt::none)
    words += ", " + doubt_names()[int(best.doubt)];
  for (const Cap &cap : best.caps)
    for (const int ray : cap.rays)
      words += ", " + cap_words(cap, ray);
  return words;
}

Candidate candidate_of(const Best &best, const std::vector<double> &place, const DesignValues &values) {
  Candidate c;
  c.x = place;
  c.solved = values.solved;
  c.why_not = values.why_not;
  if (values.solved) {
    c.aim = values.aims[best.law];
    c.use = values.use;
    c.pressure = values.other_pressure;
  }
  return c;
}

/// The reference is solved at the first candidate's points alone: it is the same at the others.
StudyUnits units_for(const ReadStudy &read, const Best &best) {
  StudyUnits all = units_of(read), kept;
  for (SolveUnit &unit : all.units) {
    unit.serves.erase(std::remove_if(unit.serves.begin(), unit.serves.end(),
                                     [&](const RunName &run) {
                                       return run.design == best.base.reference && run.point > best.draws;
                                     }),
                      unit.serves.end());
    kept.runs += unit.serves.size();
    if (!unit.serves.empty())
      kept.units.push_back(unit);
  }
  kept.refused = all.refused; // none: every candidate is a valid case
  return kept;
}

} // namespace

std::vector<StudyPoint> best_draws(const Best &best) {
  const std::size_t n = best.study.inputs.size() - best.chosen;
  std::vector<StudyPoint> draws = n == 0 ? Matrix{{}} : latin_hypercube(best.draws, n, best.study.seed + 1);
  for (StudyPoint &draw : draws)
    for (std::size_t j = 0; j < n; ++j)
      draw[j] = best.study.inputs[best.chosen + j].marginal.quantile(draw[j]);
  return draws;
}

std::vector<StudyPoint> best_points(const Best &best, const std::vector<std::vector<double>> &places) {
  std::vector<StudyPoint> points;
  const std::vector<StudyPoint> draws = best_draws(best);
  for (const std::vector<double> &place : places)
    for (const StudyPoint &draw : draws) {
      points.push_back(place);
      points.back().insert(points.back().end(), draw.begin(), draw.end());
    }
  return points;
}

BestSample best_sample(const Best &best) {
  BestSample sample;
  const std::vector<StudyPoint> draws = best_draws(best);
  std::string fault;
  const auto add = [&](const std::vector<double> &place) {
    if (std::find(sample.places.begin(), sample.places.end(), place) != sample.places.end())
      return false;
    const std::string here = fault_at(best, draws, place);
    if (here.empty())
      sample.places.push_back(place);
    else if (fault.empty())
      fault = here;
    return here.empty();
  };
  std::vector<double> stands;
  for (std::size_t j = 0; j < best.chosen; ++j) {
    const std::optional<double> value = value_in_case(best.study.inputs[j], best.base);
    const BestInput &input = best.inputs[j];
    const bool in = value && (input.list ? std::count(input.measure.begin(), input.measure.end(), *value) > 0
                                         : input.low <= *value && *value <= input.high);
    if (in)
      stands.push_back(*value);
  }
  sample.stands = stands.size() == best.chosen && add(stands);
  const std::size_t wanted = best.study.points + sample.stands;
  std::vector<std::vector<double>> corners = {{}}; // lists stand at their first value
  std::size_t between = 0;
  for (const BestInput &input : best.inputs) {
    std::vector<std::vector<double>> more;
    between += input.between_limits();
    for (const std::vector<double> &corner : corners)
      for (const double value : input.list ? std::vector<double>{input.measure.front()}
                                           : std::vector<double>{input.low, input.high}) {
        more.push_back(corner);
        more.back().push_back(value);
      }
    corners = more;
    if (corners.size() > most_corners)
      break;
  }
  if (between > 0 && corners.size() <= std::min(most_corners, best.study.points / 2))
    for (const std::vector<double> &corner : corners)
      add(corner);
  for (const StudyPoint &u : sobol_points(10 * best.study.points, best.chosen, best.study.seed)) {
    std::vector<double> place;
    for (std::size_t j = 0; j < best.chosen; ++j) {
      const double value = best.study.inputs[j].marginal.quantile(u[j]);
      place.push_back(best.inputs[j].list ? value : on_step(best.inputs[j], value));
    }
    if (sample.places.size() < wanted)
      add(place);
  }
  if (sample.places.empty()) {
    Fault f;
    f.file = best.study.path;
    f.key = "vary";
    f.problem =
        "no values within the limits make a valid case" + (fault.empty() ? "" : "; the first: " + fault);
    throw CaseError({f});
  }
  return sample;
}

FoundBest run_best(const Best &best, const BestSample &sample, StudyStore &store, const unsigned workers,
                   const bool shown, const bool solve) {
  FoundBest found;
  found.stands = sample.stands;
  const std::vector<StudyPoint> draws = best_draws(best);
  ReadStudy read{best.study, best.base, best_points(best, sample.places)};
  std::vector<std::vector<double>> places = sample.places; // by place in the store
  const std::string question = question_words(best);
  std::map<int, std::vector<std::size_t>> own; // rounds of this question, in the store
  std::vector<std::size_t> before;             // candidates of other questions
  for (const StudyStore::Batch &batch : store.batches()) {
    int round = 0, end = 0;
    std::sscanf(batch.name.c_str(), "round %d: %n", &round, &end);
    for (std::size_t i = 0; i < batch.points.size(); i += best.draws) {
      if (batch.name.substr(end) == question)
        own[round].push_back(places.size());
      else
        before.push_back(places.size());
      const StudyPoint &p = batch.points[i];
      places.emplace_back(p.begin(), p.begin() + best.chosen);
    }
    read.points.insert(read.points.end(), batch.points.begin(), batch.points.end());
  }
  const auto solve_all = [&] {
    if (solve)
      run_study(read, units_for(read, best), store, workers, shown);
  };
  solve_all();

  std::vector<std::size_t> numbers; // of the search's candidates, in the store
  const auto candidates = [&](const std::vector<std::size_t> &list) {
    const BestValues values(best, store);
    std::vector<Candidate> made;
    for (const std::size_t i : list) {
      made.push_back(candidate_of(best, places[i], values.candidate(i)));
      numbers.push_back(i);
    }
    return made;
  };
  BestProblem &problem = found.problem;
  problem.inputs = best.inputs;
  problem.caps = use_labels(best).size();
  problem.tolerance = best.tolerance_pct / 100;
  problem.rounds = best.rounds;
  problem.seed = best.study.seed;
  problem.valid = [&best, draws](const std::vector<double> &place) {
    return fault_at(best, draws, place).empty();
  };
  problem.solve = [&](const int round, const std::vector<std::vector<double>> &wanted) {
    if (!own.count(round)) {
      if (!solve)
        return std::vector<Candidate>{};
      const StudyStore::Batch batch{"round " + std::to_string(round) + ": " + question,
                                    best_points(best, wanted)};
      store.add_points(batch);
      read.points.insert(read.points.end(), batch.points.begin(), batch.points.end());
      for (const std::vector<double> &place : wanted) {
        own[round].push_back(places.size());
        places.push_back(place);
      }
      solve_all();
    }
    return candidates(own.at(round));
  };
  std::vector<std::size_t> first;
  for (std::size_t i = 0; i < sample.places.size(); ++i)
    first.push_back(i);
  first.insert(first.end(), before.begin(), before.end());
  found.search = find_best(problem, candidates(first));

  const BestValues values(best, store);
  found.reference = values.reference();
  if (found.stands)
    found.stood = values.candidate(0);
  if (const auto at = found.search.best ? found.search.best : found.search.nearest)
    found.won = values.candidate(numbers[*at]);
  for (std::size_t l = 0; l < found.least_at.size(); ++l) {
    double least = INFINITY;
    for (std::size_t i = 0; i < found.search.candidates.size(); ++i)
      if (found.search.candidates[i].within())
        if (const double aim = values.candidate(numbers[i]).aims[l]; aim < least) {
          least = aim;
          found.least_at[l] = i;
        }
  }
  for (const auto &[status, n] : store.statuses()) {
    found.runs += n;
    found.failed += status == "failed" ? n : 0;
  }
  return found;
}

} // namespace raybend
