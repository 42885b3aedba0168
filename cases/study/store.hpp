// The SQLite file that a study's results go into as they come.
#pragma once
#include "cases/study/study.hpp"
#include "cases/study/study_columns.hpp"
#include "geometry/forefoot.hpp"
#include "solver/results.hpp"
#include <memory>
#include <set>
#include <string>
#include <tuple>
#include <vector>

namespace raybend {

/// One design at one point under one activity.
struct RunName {
  std::size_t point = 1; ///< from 1
  std::string activity, design;
  bool operator<(const RunName &o) const {
    return std::tie(point, activity, design) < std::tie(o.point, o.activity, o.design);
  }
};

struct RunRow {
  RunName run;
  std::string status, reason; ///< done, failed, refused; why
  double seconds = 0;         ///< of its own solve; 0 where another run's solve serves it too
  DesignResult result;        ///< over the step; of use where done
};

/// Opens the file or makes it, and keeps others from writing to it. A store of another study, of another version of
/// the program, of none or a damaged one is a CaseError, as is one that another run or program holds; what the disk refuses a
/// std::runtime_error. After any of them the file is as it was.
class StudyStore {
public:
  StudyStore(const std::string &path, const Study &study, const std::vector<StudyPoint> &points, Side side);
  ~StudyStore();
  StudyStore(const StudyStore &) = delete;
  StudyStore &operator=(const StudyStore &) = delete;

  std::set<RunName> runs();                  ///< that are there
  void add(const std::vector<RunRow> &rows); ///< all or none; one that is there already stays
  /// Takes the runs of another store of the same study. Returns how many were new.
  std::size_t merge(const std::string &path);
  void forget_failed(); ///< so that they are solved again

  /// Points that were added behind those of the plan, batch by batch.
  struct Batch {
    std::string name;
    std::vector<StudyPoint> points;
  };
  std::vector<Batch> batches();
  void add_points(const Batch &batch); ///< all or none; the name is a new one

  /// The tidy table: inputs, design, status, ray, outputs.
  std::string csv();
  /// Values of columns for every run that is done; NaN where there is none.
  struct Value {
    RunName run;
    std::vector<double> outputs;
  };
  std::vector<Value> values(int ray, const std::vector<std::string> &outputs);
  /// "64 done, 2 failed"
  std::vector<std::pair<std::string, std::size_t>> statuses();
  std::vector<std::pair<RunName, std::string>> reasons(std::size_t most); ///< of runs that are not done

private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

} // namespace raybend
