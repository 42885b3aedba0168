// Forked workers that claim solves one by one; the parent alone writes to the store.
#include "cases/study/run_study.hpp"
#include "cases/run/handled_signals.hpp"
#include "cases/run/processes.hpp"
#include "cases/run/progress.hpp"
#include "cases/run/step_solver.hpp"
#include "postprocess/compare/step.hpp"
#include "solver/gather_results.hpp"
#include "solver/versions.hpp"
#include <algorithm>
#include <atomic>
#include <cmath>
#include <map>
#include <optional>
#include <sys/mman.h>

namespace raybend {

namespace {

/// Who solves what, in memory that parent and workers share: 0 nobody yet, else the worker's number.
class Claims {
public:
  explicit Claims(const std::size_t n) : n_(n) {
    void *memory = mmap(nullptr, std::max<std::size_t>(1, n) * sizeof(std::atomic<int>),
                        PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (memory == MAP_FAILED)
      throw std::runtime_error("no memory for the list of solves");
    of_ = static_cast<std::atomic<int> *>(memory); // zeros
  }
  ~Claims() { munmap(of_, std::max<std::size_t>(1, n_) * sizeof(std::atomic<int>)); }
  Claims(const Claims &) = delete;
  Claims &operator=(const Claims &) = delete;

  bool take(const std::size_t i, const int worker) {
    int nobody = 0;
    return of_[i].compare_exchange_strong(nobody, worker);
  }
  int of(const std::size_t i) const { return of_[i]; }
  std::size_t size() const { return n_; }

private:
  std::size_t n_;
  std::atomic<int> *of_;
};

/// Squares of differences over each input's range in the plan; another word is a whole range away.
class Distance {
public:
  explicit Distance(const ReadStudy &read) : read_(read) {
    for (std::size_t j = 0; j < read.study.inputs.size(); ++j) {
      double low = INFINITY, high = -INFINITY;
      for (const StudyPoint &p : read.points) {
        low = std::min(low, p[j]);
        high = std::max(high, p[j]);
      }
      range_.push_back(high > low ? high - low : 1);
    }
  }
  double operator()(const SolveUnit &a, const SolveUnit &b) const {
    double sum = a.design == b.design ? 0 : 1;
    for (std::size_t j = 0; j < range_.size(); ++j) {
      const double d = (read_.points[a.point][j] - read_.points[b.point][j]) / range_[j];
      sum += !read_.study.inputs[j].marginal.is_number() && d != 0 ? 1 : d * d;
    }
    return sum;
  }

private:
  const ReadStudy &read_;
  std::vector<double> range_;
};

/// The next solve for a worker: the nearest of the group that its model serves; of an untouched group; of the group
/// with most left. Nothing where all are claimed.
std::optional<std::size_t> claim_next(const std::vector<SolveUnit> &units, Claims &claims,
                                      const Distance &distance, const std::optional<std::size_t> last,
                                      const int worker) {
  const auto model_of = [&](std::size_t i) { return std::pair(units[i].group, units[i].activity); };
  while (true) {
    std::optional<std::size_t> best;
    if (last) {
      double nearest = INFINITY;
      for (std::size_t i = 0; i < units.size(); ++i)
        if (claims.of(i) == 0 && model_of(i) == model_of(*last))
          if (const double d = distance(units[i], units[*last]); d < nearest) {
            nearest = d;
            best = i;
          }
    }
    if (!best) {
      struct Left {
        bool touched = false;
        std::size_t count = 0, first = 0;
      };
      std::map<std::pair<std::size_t, std::size_t>, Left> left;
      for (std::size_t i = units.size(); i-- > 0;) {
        Left &l = left[model_of(i)];
        if (claims.of(i) != 0) {
          l.touched = true;
        } else {
          ++l.count;
          l.first = i;
        }
      }
      const Left *most = nullptr;
      for (const auto &[key, l] : left)
        if (l.count > 0 && (!most || std::pair(!l.touched, l.count) > std::pair(!most->touched, most->count)))
          most = &l;
      if (!most)
        return {};
      best = most->first;
    }
    if (claims.take(*best, worker))
      return best;
  }
}

std::string trouble_of(const std::exception &error) {
  return dynamic_cast<const std::bad_alloc *>(&error) ? "out of memory" : error.what();
}

/// Keeps the model and the reference of one group and activity.
class Bench {
public:
  explicit Bench(const ReadStudy &read) : read_(read) {}

  DesignResult solve(const SolveUnit &unit, const StepSolver::Progress &say) {
    DesignResult result;
    try {
      const Case c = case_at(read_.study, read_.points[unit.point]);
      if (!about_ || *about_ != std::pair(unit.group, unit.activity))
        begin(unit, c, say);
      if (!trouble_.empty()) {
        result.message = trouble_;
        return result;
      }
      const StepResult step = solver_->solve(design(c, unit.design), say);
      result = over_step(step, case_->foot);
      if (step.size() == instants_) // fixed stations at a fixed instant
        for (std::size_t r = 0; r < result.ray.size(); ++r)
          result.ray[r].shaft = step[instant_].ray[r].shaft;
      result.bones.clear(); // pictures are not kept
      result.plantar.clear();
    } catch (const std::exception &error) {
      result = {};
      result.message = "the calculation broke off: " + trouble_of(error);
      about_.reset(); // what it left behind is in no known state
    }
    return result;
  }

private:
  static const Design &design(const Case &c, const std::string &name) {
    return *std::find_if(c.designs.begin(), c.designs.end(), [&](const Design &d) { return d.name == name; });
  }

  void begin(const SolveUnit &unit, const Case &c, const StepSolver::Progress &say) {
    about_.reset();
    solver_.reset(); // two would take twice the memory
    case_ = std::make_unique<Case>(c);
    trouble_.clear();
    solver_ = std::make_unique<StepSolver>(*case_, unit.activity, MPI_COMM_SELF);
    const StepResult step = solver_->solve(design(*case_, case_->reference), say);
    const DesignResult reference = over_step(step, case_->foot);
    const std::size_t ray = case_->foot.painful_ray - 1;
    const auto less = [&](const DesignResult &a, const DesignResult &b) {
      return a.ray[ray].peak_strain.value < b.ray[ray].peak_strain.value;
    };
    instants_ = step.size();
    instant_ = std::max_element(step.begin(), step.end(), less) - step.begin();
    if (!reference.converged)
      trouble_ = "the reference " + case_->reference + " was not solved: " + reference.message;
    about_ = {unit.group, unit.activity};
  }

  const ReadStudy &read_;
  std::unique_ptr<Case> case_; ///< the solver keeps a reference to it
  std::unique_ptr<StepSolver> solver_;
  std::optional<std::pair<std::size_t, std::size_t>> about_; ///< group and activity
  std::string trouble_;                                      ///< of the reference
  std::size_t instants_ = 0, instant_ = 0; ///< of the step; the one that strains its painful ray most
};

/// The rows of a solve: its time goes to the first.
std::vector<RunRow> rows_of(const SolveUnit &unit, const DesignResult &result, const std::string &trouble) {
  std::vector<RunRow> rows;
  for (const RunName &run : unit.serves) {
    RunRow row;
    row.run = run;
    row.status = result.converged ? "done" : "failed";
    row.reason = result.converged ? "" : trouble;
    row.seconds = rows.empty() ? result.record.seconds : 0;
    row.result = result;
    rows.push_back(row);
  }
  return rows;
}

} // namespace

void run_study(const ReadStudy &read, const StudyUnits &todo, StudyStore &store,
               const unsigned workers_wanted, const bool shown) {
  const std::set<RunName> there = store.runs();
  std::vector<RunRow> refused;
  for (const RunRow &row : todo.refused)
    if (!there.count(row.run))
      refused.push_back(row);
  if (!refused.empty())
    store.add(refused);
  std::vector<SolveUnit> units;
  std::size_t runs_left = 0;
  for (const SolveUnit &unit : todo.units)
    if (!std::all_of(unit.serves.begin(), unit.serves.end(),
                     [&](const RunName &r) { return there.count(r); })) {
      units.push_back(unit);
      runs_left += unit.serves.size();
    }
  if (units.empty())
    return;

  Claims claims(units.size());
  const Distance distance(read);
  ProgressLine line(shown);
  std::vector<bool> solved(units.size(), false);
  std::size_t done = 0;
  std::string words;
  const auto progress = [&] {
    const double left = done > 0 ? line.seconds() / done * (units.size() - done) : 0;
    line.say(std::to_string(todo.runs - runs_left) + " of " + std::to_string(todo.runs) + " runs there" +
             (done > 0 ? ", about " + time_words(left) + " left" : "") + (words.empty() ? "" : "; " + words));
  };
  const auto keep = [&](const std::size_t i, const DesignResult &result, const std::string &trouble) {
    store.add(rows_of(units[i], result, trouble));
    solved[i] = true;
    ++done;
    runs_left -= units[i].serves.size();
    progress();
  };
  int workers = 0; // numbered through
  while (done < units.size()) {
    const std::size_t n = std::min<std::size_t>(workers_wanted, units.size() - done);
    const int first = workers + 1;
    std::vector<Work> work(n);
    for (std::size_t k = 0; k < n; ++k) {
      const int worker = ++workers;
      work[k].run = [&, worker](const Talk &talk) {
        start_alone();
        {
          Bench bench(read);
          std::optional<std::size_t> last;
          while (const auto i = claim_next(units, claims, distance, last, worker)) {
            const DesignResult result =
                bench.solve(units[*i], [&](const std::string &l) { talk.say(units[*i].design + ", " + l); });
            talk.send(packed_result(std::to_string(*i), {result}));
            last = i;
          }
        }
        stop_parallel();
      };
    }
    Heard heard;
    heard.said = [&](std::size_t, const std::string &said) {
      if (shown) {
        words = said;
        progress();
      }
    };
    heard.received = [&](std::size_t, const std::string &bytes) {
      std::map<std::string, StepResult> results;
      unpack_result(bytes, results);
      for (const auto &[key, step] : results)
        keep(std::stoul(key), step.front(), step.front().message);
    };
    heard.finished = [&](const std::size_t k, const std::string &trouble, bool) {
      for (std::size_t i = 0; i < units.size(); ++i)
        if (claims.of(i) == first + static_cast<int>(k) && !solved[i])
          keep(i, {}, trouble.empty() ? "the calculation ended without a result" : trouble);
    };
    try {
      run_side_by_side(work, heard);
    } catch (const StoppedBySignal &stop) {
      throw StoppedBySignal("stopped before the end; " + std::to_string(todo.runs - runs_left) + " of " +
                                std::to_string(todo.runs) +
                                " runs are in the store, and the same command goes on",
                            stop.signal);
    }
  }
}

} // namespace raybend
