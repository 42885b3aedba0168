// What the person who reads must know before trusting the numbers.
#include "postprocess/words/warnings.hpp"
#include "postprocess/compare/ranking.hpp"
#include "postprocess/text/number_text.hpp"
#include "postprocess/text/text_table.hpp"
#include "postprocess/words/painful.hpp"
#include "postprocess/words/picture_words.hpp"
#include "postprocess/words/summary_parts.hpp"
#include <algorithm>
#include <cmath>

namespace raybend {

double balance_error(const DesignResult &result) {
  const double missing = std::abs(result.applied_force - result.ground_force);
  return result.applied_force == 0 ? missing : missing / std::abs(result.applied_force);
}

double moment_error(const DesignResult &result) {
  double worst = 0;
  for (const RayResult &ray : result.ray) {
    double largest = 0, difference = 0;
    bool evaluated = false;
    for (const StationResult &s : ray.shaft) {
      if (s.fraction < shaft_from || s.fraction > shaft_to)
        continue;
      evaluated |= s.statics_moment_sagittal != 0;
      largest = std::max(largest, std::abs(s.moment_sagittal));
      difference = std::max(difference, std::abs(s.moment_sagittal - s.statics_moment_sagittal));
    }
    if (evaluated && largest > 0)
      worst = std::max(worst, difference / largest);
  }
  return worst;
}

namespace {

void check_solve(std::vector<std::string> &list, const std::string &name, const DesignResult &result) {
  if (!result.converged) {
    list.push_back(name + " did not converge and is not ranked" +
                   (result.message.empty() ? "." : ": " + one_line(result.message)));
    return;
  }
  if (const double error = balance_error(result); !(error <= balance_limit))
    list.push_back(name + ": the ground returns " + fixed(result.ground_force, 3) + " N of " +
                   fixed(result.applied_force, 3) + " N applied (" + fixed(100 * error, 5) +
                   " % missing); its numbers are not in balance.");
  if (const double error = moment_error(result); !(error <= moment_limit))
    list.push_back(
        name + ": section moments differ from statics by up to " + fixed(100 * error, 1) +
        " % of the ray's largest. Both come from the same nodal forces and agree on any mesh, as far as the "
        "solve is in balance: do not use its moments; try another resolution, and keep the case as "
        "an example of a fault in the program.");
}

} // namespace

std::vector<std::string> solve_warnings(const ReportInput &input) {
  std::vector<std::string> list;
  for (const DesignOutcome &o : input.outcomes) {
    const std::string name = quoted_name(o);
    check_solve(list, name, o.with);
    if (o.has_support())
      check_solve(list, name + " without its support elements", o.without);
  }
  return list;
}

namespace {

/// What a design has beyond its range in one activity, as items; none: "".
using Beyond = std::vector<std::string> (*)(const DesignResult &);

/// "A ray 3 (4200), ray 5 (5000); B ..."; of several activities "in \"stairs\" A ...".
std::string beyond_words(const std::vector<const ReportInput *> &activities, const Beyond beyond) {
  std::string text;
  for (const ReportInput *input : activities) {
    std::string place = activities.size() > 1 ? "in \"" + one_line(input->activity.words()) + "\" " : "";
    for (std::size_t i = 0; i < input->outcomes.size(); ++i)
      if (const DesignResult &r = input->outcomes[i].with; r.converged) {
        std::string here;
        for (const std::string &item : beyond(r))
          here += (here.empty() ? " " : ", ") + item;
        if (here.empty())
          continue;
        text += (text.empty() ? "" : "; ") + place + design_letter(i) + here;
        place.clear();
      }
  }
  return text;
}

std::vector<std::string> pressed_heads(const DesignResult &result) {
  constexpr double most_pressed = 55; // per cent, walking: 35 to 55 (Cavanagh 1999, read)
  std::vector<std::string> list;
  for (int r = 1; r <= 5; ++r)
    if (const double percent = std::round(100 * result.ray[r - 1].tissue_compression); percent > most_pressed)
      list.push_back("head " + std::to_string(r) + " (" + fixed(percent) + " %)");
  return list;
}

/// One item, the ray that slides farthest, where that is beyond a cell.
std::vector<std::string> slipped_skin(const DesignResult &result) {
  const auto most =
      std::max_element(result.ray.begin(), result.ray.end(), [](const RayResult &a, const RayResult &b) {
        return a.contact_slip_cells < b.contact_slip_cells;
      });
  if (!(most->contact_slip_cells > most_slip_cells))
    return {};
  return {"up to " + fixed(most->contact_slip, 1) + " mm (ray " +
          std::to_string(most - result.ray.begin() + 1) + ")"};
}

/// One item, what heads and shafts bear, of a design whose heads hang; none of others.
std::vector<std::string> idle_heads(const DesignResult &result) {
  if (!heads_hang(result))
    return {};
  const BorneForce borne = borne_force(result);
  return {"(heads " + fixed(borne.heads) + " N, shafts " + fixed(borne.shafts) + " N)"};
}

} // namespace

std::vector<int> overstrained_rays(const DesignResult &result) {
  std::vector<int> rays;
  for (int r = 1; r <= 5; ++r)
    if (result.ray[r - 1].peak_strain.value > failing_strain)
      rays.push_back(r);
  return rays;
}

std::vector<std::string> overstrained(const DesignResult &result) {
  std::vector<std::string> list;
  for (const int r : overstrained_rays(result))
    list.push_back("ray " + std::to_string(r) + " (" + fixed(result.ray[r - 1].peak_strain.value) + ")");
  return list;
}

std::string over_bent_words(const std::vector<int> &rays) {
  std::vector<std::string> list; // of 3 and 5: validation table of the README
  for (const int r : {3, 5})
    if (std::count(rays.begin(), rays.end(), r))
      list.push_back(std::to_string(r));
  if (list.empty())
    return "";
  return list.size() > 1 ? "Rays " + list_of(list) +
                               " come out more bent than published: compare designs on them, do not read "
                               "their strain as absolute."
                         : "Ray " + list.front() +
                               " comes out more bent than published: compare designs on it, do not read its "
                               "strain as absolute.";
}

std::vector<std::string> range_warnings(const std::vector<const ReportInput *> &activities) {
  std::vector<std::string> list;
  std::vector<int> rays;
  for (const ReportInput *input : activities)
    for (const DesignOutcome &o : input->outcomes)
      if (o.with.converged)
        for (const int r : overstrained_rays(o.with))
          rays.push_back(r);
  if (!rays.empty()) {
    const std::string caveat = over_bent_words(rays);
    list.push_back("Beyond " + fixed(failing_strain) +
                   " ue, where bone in fatigue tests fails within some thousand cycles (Pattin 1996, from "
                   "memory): " +
                   beyond_words(activities, overstrained) + ". Load, foot or model is out of its range." +
                   (caveat.empty() ? "" : " ") + caveat);
  }
  if (const std::string pressed = beyond_words(activities, pressed_heads); !pressed.empty())
    list.push_back("Tissue pressed together by more than the 35 to 55 % published for walking: " + pressed +
                   ".");
  if (const std::string slipped = beyond_words(activities, slipped_skin); !slipped.empty())
    list.push_back(
        "Skin that slides on the insole by more than a cell of the mesh: " + slipped +
        ". Points of skin and insole are paired once, at rest, and press on each other wherever they stand "
        "since: pressures there lie beside their true place.");
  if (const std::string idle = beyond_words(activities, idle_heads); !idle.empty())
    list.push_back(
        "Heads that hardly bear: " + idle +
        ". The model's midfoot settles and rolls but does not pitch; a foot would tip until its heads "
        "bear. Such a design is not ranked.");
  return list;
}

bool is_coarse(const ReportInput &input) {
  const ReportInput::Resolved *r = input.find("mesh.resolution");
  return r != nullptr && r->value == "coarse";
}

std::string resolution_words(const ReportInput &input) {
  return is_coarse(input) ? "Coarse resolution, for a first look: bands of values are an assumed 25 %, those "
                            "of changes between designs "
                            "what was seen from coarse to standard on other designs. Use "
                            "standard resolution to rank designs."
                          : "";
}

namespace {

/// The most strained cut that does not count, on the side where the ray's largest strain stands at the end of
/// what counts; nullptr if none there is strained more than that.
const StationResult *worse_beyond(const RayResult &ray, const std::array<double, 2> &part) {
  const StationResult *worst = nullptr;
  double most = ray.peak_strain.value;
  if (ray.peak_strain_at_end)
    for (const StationResult &s : ray.shaft) {
      const bool beyond = 2 * ray.peak_strain_at < part[0] + part[1] ? s.fraction < part[0] - 1e-9
                                                                     : s.fraction > part[1] + 1e-9;
      if (beyond && std::abs(s.strain_extreme) > most) {
        worst = &s;
        most = std::abs(s.strain_extreme);
      }
    }
  return worst;
}

} // namespace

std::vector<std::string> end_warnings(const ReportInput &input) {
  const int painful = input.foot.painful_ray;
  std::vector<std::string> list;
  for (const DesignOutcome &o : input.outcomes)
    if (const RayResult &ray = o.with.ray[painful - 1]; o.with.converged)
      if (const StationResult *s = worse_beyond(ray, counted_part(input.foot, painful)))
        list.push_back(quoted_name(o) + " " + fixed(std::abs(s->strain_extreme)) + " ue at " +
                       fixed(100 * s->fraction) + " % against " + fixed(ray.peak_strain.value) + " ue at " +
                       fixed(100 * ray.peak_strain_at) + " %");
  if (list.empty())
    return {};
  return {"Ray " + std::to_string(painful) + " is strained more outside the part that counts, between " +
          counted_words(input.foot) + " of the length: " + list_of(list) + "."};
}

std::vector<std::string> report_warnings(const ReportInput &input, const std::vector<RankedDesign> &ranking) {
  std::vector<std::string> list;
  for (const std::string &w : input.warnings)
    list.push_back(one_line(w));
  for (const auto &warnings : {solve_warnings(input), range_warnings({&input}), end_warnings(input)})
    list.insert(list.end(), warnings.begin(), warnings.end());
  std::vector<std::string> open, slight; // "A" from "B" and "C"
  for (const RankedDesign &d : ranking) {
    std::vector<std::string> others;
    for (std::size_t other : d.not_told_apart)
      if (d.place < other)
        others.push_back(design_letter(other));
    if (!others.empty())
      open.push_back(design_letter(d.place) + " from " + list_of(others));
    if (d.from_unsupported && !d.from_unsupported->told_apart)
      slight.push_back(design_letter(d.place));
  }
  if (!open.empty()) {
    std::string text = "Not told apart at this mesh, because the difference is smaller than its own band: ";
    for (std::size_t i = 0; i < open.size(); ++i)
      text += (i > 0 ? "; " : "") + open[i];
    list.push_back(text + ". A finer resolution may separate them.");
  }
  if (!slight.empty())
    list.push_back("Support elements whose effect on ray " + std::to_string(input.foot.painful_ray) +
                   " is smaller than its band: those of " + list_of(slight) + ".");
  return list;
}

} // namespace raybend
