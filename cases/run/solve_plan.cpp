#include "cases/run/solve_plan.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <set>

namespace raybend {

namespace {

// Designs with one fingerprint behave alike; names, titles and the order of support elements do not count.
std::string fingerprint(const Design &d) {
  std::string text = number_text(d.fit, 17) + "; shoe";
  for (const double x : {d.shoe.ball_stiffness, d.shoe.shank_e, d.shoe.shank_from, d.shoe.upper_force,
                         d.shoe.upper_stiffness, d.shoe.rocker_deg, d.shoe.rocker_apex})
    text += " " + number_text(x, 17);
  const auto add = [](std::string &to, const InsoleMaterial &m) {
    for (const double x : {double(m.law), m.e, m.nu, m.relative_density, m.gas_pressure})
      to += " " + number_text(x, 17);
  };
  for (const Layer &layer : d.layers) {
    text += "; layer " + std::to_string(int(layer.role));
    for (const double x : {layer.thickness, layer.from_behind_heads, layer.to_behind_heads, layer.bevel})
      text += " " + number_text(x, 17);
    add(text, layer.material);
  }
  std::vector<std::string> elements;
  for (const SupportElement &e : d.support) {
    std::string &words = elements.emplace_back();
    words += "; support " + std::to_string(int(e.kind)) + " " + std::to_string(int(e.profile)) + " " +
             std::to_string(e.ray);
    for (const double x : {e.height, e.length, e.width, e.behind_heads, e.radius, e.proximal_bevel,
                           e.distal_bevel, e.angle_deg, e.shift_medial})
      words += " " + number_text(x, 17);
    add(words, e.material);
  }
  std::sort(elements.begin(), elements.end());
  for (const std::string &words : elements)
    text += words;
  return text;
}

/// The first activity with the same loads.
std::size_t first_alike(const Case &c, const std::size_t activity) {
  std::size_t first = 0;
  while (!same_loads(c.day[first].activity, c.day[activity].activity))
    ++first;
  return first;
}

} // namespace

std::string solve_key(const Case &c, const std::size_t activity, const Design &design) {
  return std::to_string(first_alike(c, activity)) + ": " +
         (c.day[activity].activity.barefoot ? "barefoot" : fingerprint(design));
}

std::size_t different_loads(const Case &c) {
  std::size_t n = 0;
  for (std::size_t a = 0; a < c.day.size(); ++a)
    n += first_alike(c, a) == a;
  return n;
}

std::vector<SolveTask> solve_tasks(const Case &c) {
  std::vector<SolveTask> tasks;
  std::set<std::string> keys;
  const auto add = [&](const std::size_t activity, const Design &design, const bool with_support) {
    const std::string key = solve_key(c, activity, design);
    if (keys.insert(key).second)
      tasks.push_back({activity, design, with_support, key});
  };
  for (std::size_t a = 0; a < c.day.size(); ++a) {
    for (const Design &design : c.designs)
      add(a, design, true);
    for (const Design &design : c.designs)
      if (!design.support.empty())
        add(a, design.without_support(), false);
  }
  return tasks;
}

std::vector<std::size_t> solve_share(const std::vector<SolveTask> &tasks, const std::size_t group,
                                     const std::size_t groups) {
  std::vector<std::size_t> share;
  for (std::size_t i = group * tasks.size() / groups; i < (group + 1) * tasks.size() / groups; ++i)
    share.push_back(i);
  return share;
}

} // namespace raybend
