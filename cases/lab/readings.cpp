// What the quantities and curves of a textbook case read from a solved body.
#include "cases/lab/readings.hpp"
#include "cases/lab/rigid_modes.hpp"
#include "solver/body/body.hpp"
#include "solver/operator/contact_points.hpp"
#include <algorithm>
#include <limits>

namespace raybend {

namespace {

constexpr double missing = std::numeric_limits<double>::quiet_NaN();

bool same_load(const double a, const double b) {
  return std::abs(a - b) <= 1e-9 * std::max(1.0, std::abs(b));
}

std::vector<std::string> variables_of(const std::string &kind, const std::vector<std::string> &ids) {
  if (kind == "reaction")
    return {"fx", "fy", "fz"};
  if (kind == "section")
    return {"fx", "fy", "fz", "mx", "my", "mz"};
  if (kind == "ground")
    return {"force", "peak"};
  if (kind == "modes")
    return {"ratio", "image"};
  if (kind != "rule")
    return sample_names();
  std::vector<std::string> names;
  for (const std::string &id : ids)
    for (const char *level : {"", "_1", "_2"})
      names.push_back(id + level);
  return names;
}

std::vector<double> sample_values(const Body &body, const Sample &s, const Vec3 &normal, double distance,
                                  double load, bool finite) {
  const Tensor2 &g = s.gradient;
  const Sym2 e = symmetrize(g), t = finite ? body.cauchy_stress(s) : body.small_stress(s);
  const double j = determinant(g + Tensor2(dealii::unit_symmetric_tensor<3>()));
  return {s.x[0],  s.x[1],    s.x[2],    s.u[0],    s.u[1],   s.u[2],  g[0][0], g[0][1], g[0][2],
          g[1][0], g[1][1],   g[1][2],   g[2][0],   g[2][1],  g[2][2], e[0][0], e[1][1], e[2][2],
          e[0][1], e[1][2],   e[2][0],   t[0][0],   t[1][1],  t[2][2], t[0][1], t[1][2], t[2][0],
          j,       normal[0], normal[1], normal[2], distance, load};
}

} // namespace

Readings::Readings(const GeneralCase &c, const BoundProblem &bound, ReadingLog &log) : names_(bound.names) {
  const auto three = [&](const Entry3 &e) {
    return Vec3{number(e[0], names_), number(e[1], names_), number(e[2], names_)};
  };
  const auto ours = [&](const std::string &variant) { return variant.empty() || variant == bound.variant; };
  for (const QuantitySpec &q : c.quantities) {
    if (!ours(q.variant))
      continue;
    without_fault(log, [&] {
      Item item;
      item.spec = q;
      item.formula =
          std::make_unique<FormulaSet>(std::vector<Entry>{q.value}, variables_of(q.kind, ids_), names_);
      if (q.at[0].given())
        item.at = three(q.at);
      if (q.to[0].given())
        item.to = three(q.to);
      if (q.place.given())
        item.place = number(q.place, names_);
      if (q.load.given()) {
        item.load = number(q.load, names_);
        item.at_last = false;
        std::vector<double> steps;
        for (const Entry &e : c.steps)
          steps.push_back(number(e, names_));
        if (steps.empty())
          steps = {1};
        if (std::none_of(steps.begin(), steps.end(), [&](const double s) { return same_load(s, item.load); }))
          throw EntryError("is no load factor of solution.steps", q.load);
      }
      item.faces = bound.ids(q.faces, log);
      if (item.faces.size() < q.faces.names.size())
        return;
      TextbookQuantity t;
      t.name = q.name + (bound.variant.empty() ? "" : ", " + bound.variant);
      t.unit = q.unit;
      t.reference = q.reference.given() ? number(q.reference, names_) : missing;
      t.known = q.known;
      t.source = q.source;
      t.tolerance_percent = number(q.tolerance_percent, names_);
      t.tolerance = number(q.tolerance, names_);
      t.decides = q.decides;
      t.note = q.note;
      t.why = q.why;
      t.formal_order = number(q.order, names_);
      if (t.decides && t.tolerance <= 0 && t.reference == 0)
        throw EntryError("is zero: give an absolute tolerance", q.reference);
      list_.push_back(t);
      items_.push_back(std::move(item));
      ids_.push_back(q.id.empty() ? "q" + std::to_string(items_.size()) : q.id);
    });
  }
  for (const CurveSpec &k : c.curves) {
    // Curves of a case with variants belong to the first unless they name one.
    const bool first = c.variants.empty() || c.variants.front().name == bound.variant;
    if (!(k.variant.empty() ? first : k.variant == bound.variant))
      continue;
    without_fault(log, [&] {
      Line line;
      line.spec = k;
      line.from = three(k.from);
      if (!k.over_load)
        line.to = three(k.to);
      line.points = static_cast<unsigned>(std::max(2.0, std::min(1000.0, number(k.points, names_))));
      line.formula = std::make_unique<FormulaSet>(std::vector<Entry>{k.x, k.value}, sample_names(), names_);
      if (k.closed_form.given())
        line.closed = std::make_unique<FormulaSet>(std::vector<Entry>{k.closed_form}, sample_names(), names_);
      for (const auto &p : k.closed_points)
        line.closed_points.push_back({number(p[0], names_), number(p[1], names_)});
      lines_.push_back(std::move(line));
    });
  }
}

void Readings::start_level() {
  values_.emplace_back(items_.size(), missing);
  curves_.clear();
  for (const Line &line : lines_)
    curves_.push_back({line.spec.title, line.spec.x_label, line.spec.y_label, {}, {}, {}});
}

void Readings::read(Body &body, double load, bool last, bool finite) {
  for (std::size_t i = 0; i < items_.size(); ++i) {
    const Item &item = items_[i];
    if (item.at_last ? !last : !same_load(item.load, load))
      continue;
    values_.back()[i] = item.spec.kind == "rule" ? rule(item) : read_item(item, body, load, finite);
  }
  for (std::size_t l = 0; l < lines_.size(); ++l)
    read_line(l, body, load, last, finite);
}

double Readings::rule(const Item &item) const {
  std::vector<double> known;
  const std::size_t level = values_.size() - 1, self = &item - items_.data();
  for (std::size_t i = 0; i < self; ++i)
    for (std::size_t back = 0; back < 3; ++back)
      known.push_back(back <= level ? values_[level - back][i] : missing);
  return (*item.formula)(known)[0];
}

double Readings::read_item(const Item &item, Body &body, double load, bool finite) const {
  const std::string &kind = item.spec.kind;
  const auto at = [&](const Vec3 &place, double distance) {
    return (*item.formula)(sample_values(body, body.at_place(place), {}, distance, load, finite))[0];
  };
  if (kind == "point")
    return at(item.at, 0);
  if (kind == "mean" || kind == "integral") {
    double sum = 0, area = 0;
    for (const unsigned id : item.faces)
      body.on_face(id, [&](const Sample &s, double weight, const Vec3 &normal) {
        sum += weight * (*item.formula)(sample_values(body, s, normal, 0, load, finite))[0];
        area += weight;
      });
    return kind == "mean" ? sum / area : sum;
  }
  if (kind == "volume") {
    double sum = 0;
    body.everywhere([&](const Sample &s, double weight) {
      sum += weight * (*item.formula)(sample_values(body, s, {}, 0, load, finite))[0];
    });
    return sum;
  }
  if (kind == "reaction") {
    const Vec3 force =
        body.sum_on_faces(body.unbalanced(load, !finite), {item.faces.begin(), item.faces.end()});
    return (*item.formula)({force[0], force[1], force[2]})[0];
  }
  if (kind == "section") {
    const NodalSum r = body.section(item.spec.axis[0] - 'x', item.place, item.at);
    return (*item.formula)({r.force[0], r.force[1], r.force[2], r.moment[0], r.moment[1], r.moment[2]})[0];
  }
  if (kind == "ground") {
    double force = body.problem().ground.empty() ? 0 : body.op().faces().ground_force(body.u), peak = 0;
    visit_contact(body.op(), body.u, [&](const ContactPoint &p) {
      force += p.pressure * p.area;
      peak = std::max(peak, p.pressure);
    });
    return (*item.formula)({force, peak})[0];
  }
  if (kind == "modes") {
    const RigidModes m = rigid_modes(body);
    return (*item.formula)({m.ratio, m.image})[0];
  }
  // A crossing: bisection between the ends of the line.
  const double length = norm(item.to - item.at);
  double low = 0, high = 1;
  const bool positive = at(item.at, 0) > 0;
  if ((at(item.to, length) > 0) == positive)
    return missing;
  while ((high - low) * length > 1e-7 * length) {
    const double middle = 0.5 * (low + high);
    ((at(item.at + middle * (item.to - item.at), middle * length) > 0) == positive ? low : high) = middle;
  }
  return 0.5 * (low + high) * length;
}

void Readings::read_line(std::size_t l, Body &body, double load, bool last, bool finite) {
  const Line &line = lines_[l];
  TextbookCurve &curve = curves_[l];
  const auto add = [&](const Vec3 &place, double distance) {
    const std::vector<double> v = sample_values(body, body.at_place(place), {}, distance, load, finite);
    const std::vector<double> &xy = (*line.formula)(v);
    curve.x.push_back(xy[0]);
    curve.computed.push_back(xy[1]);
    if (line.closed)
      curve.closed_form.push_back((*line.closed)(v)[0]);
    for (const auto &p : line.closed_points)
      if (line.spec.over_load && std::abs(p[0] - xy[0]) < 1e-9 * std::max(1.0, std::abs(p[0])))
        curve.closed_form.push_back(p[1]);
    if (!line.closed_points.empty() && curve.closed_form.size() < curve.x.size())
      curve.closed_form.push_back(missing);
  };
  if (line.spec.over_load)
    add(line.from, 0);
  else if (last)
    for (unsigned i = 0; i < line.points; ++i) {
      const double t = double(i) / (line.points - 1);
      add(line.from + t * (line.to - line.from), t * norm(line.to - line.from));
    }
}

} // namespace raybend
