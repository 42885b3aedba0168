// Where the line of action of the vertical force passes a foot.
#include "solver/force_line.hpp"

namespace raybend {

double force_line_medial(const Forefoot &foot, const Activity &activity) {
  if (activity.line_medial)
    return *activity.line_medial;
  constexpr double load[5] = {25, 30, 21.5, 14, 9}; // %
  double sum = 0, moment = 0, toes = 0;
  for (int r = 0; r < 5; ++r) {
    const Ray &ray = foot.rays[r];
    sum += load[r];
    moment += load[r] * ray.head_medial_of_mt2;
    toes += ray.toe_share * ray.head_medial_of_mt2;
  }
  return (1 - activity.toe_share) * moment / sum + activity.toe_share * toes;
}

} // namespace raybend
