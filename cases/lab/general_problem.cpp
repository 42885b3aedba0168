// From a textbook case's description to the problem that the solver takes.
#include "cases/lab/general_problem.hpp"
#include "cases/words/words.hpp"
#include "meshing/block_mesh.hpp"
#include "meshing/box_mesh.hpp"
#include "meshing/ring_mesh.hpp"
#include "solver/body/body.hpp"
#include "solver/materials/hyperfoam.hpp"
#include <algorithm>
#include <memory>

namespace raybend {

namespace {

const std::vector<std::string> logical_names = {"xi", "eta", "zeta"}, place_names = {"x", "y", "z"};

unsigned count(const Entry &e, const Names &names, double least = 1) {
  const double n = number(e, names);
  if (!(n >= least && n <= 10000) || n != std::floor(n))
    throw EntryError("found " + number_text(n) + "; allowed a whole number of cells", e);
  return static_cast<unsigned>(n);
}

Vec3 vector(const Entry3 &e, const Names &names) {
  return {number(e[0], names), number(e[1], names), number(e[2], names)};
}

using Function3 = std::function<Vec3(const Vec3 &)>;

Function3 vector_function(const std::vector<Entry> &e, const std::vector<std::string> &variables,
                          const Names &names) {
  auto set = std::make_shared<FormulaSet>(e, variables, names);
  return [set](const Vec3 &x) {
    const std::vector<double> &v = (*set)({x[0], x[1], x[2]});
    return Vec3{v[0], v[1], v[2]};
  };
}

std::function<double(const Vec3 &)> scalar_function(const Entry &e, const std::vector<std::string> &variables,
                                                    const Names &names) {
  auto set = std::make_shared<FormulaSet>(std::vector<Entry>{e}, variables, names);
  return [set](const Vec3 &x) { return (*set)({x[0], x[1], x[2]})[0]; };
}

CoarseMesh block_mesh(const BlockSpec &b, const Names &names) {
  CoarseMesh mesh;
  if (b.kind == "box") {
    mesh = box_mesh(vector(b.low, names), vector(b.high, names),
                    {count(b.cells[0], names), count(b.cells[1], names), count(b.cells[2], names)});
  } else if (b.kind == "cells") {
    const auto refuse = [&](const Entry &e, const char *words) { throw EntryError(words, e); };
    if (b.vertices.size() % 3 || b.vertices.empty())
      refuse(b.vertices.front(), "three numbers a vertex are wanted");
    if (b.corners.size() % 8 || b.corners.empty())
      refuse(b.corners.front(), "eight vertices a cell are wanted");
    for (std::size_t i = 0; i < b.vertices.size(); i += 3)
      mesh.vertices.push_back(
          {number(b.vertices[i], names), number(b.vertices[i + 1], names), number(b.vertices[i + 2], names)});
    for (std::size_t i = 0; i < b.corners.size(); i += 8) {
      // The file counts round each quadrilateral, the mesh lexicographically.
      static constexpr unsigned order[8] = {0, 1, 3, 2, 4, 5, 7, 6};
      std::array<unsigned, 8> c{};
      for (unsigned v = 0; v < 8; ++v) {
        c[v] = count(b.corners[i + order[v]], names, 0);
        if (c[v] >= mesh.vertices.size())
          refuse(b.corners[i + order[v]], "there is no such vertex (they count from 0)");
      }
      mesh.cells.push_back(c);
      mesh.tags.push_back(1);
    }
  } else {
    const double hole = number(b.hole, names);
    if (!(hole > 0 && hole < 1))
      throw EntryError("found " + number_text(hole) + "; allowed between 0 and 1", b.hole);
    const unsigned sides = count(b.sides, names), across = count(b.across, names);
    if (b.kind == "octant") {
      mesh = octant_shell(hole, sides, across);
      if (number(b.length, names) != 0)
        merge(mesh, box_mesh({0, 0, 0}, {hole, hole, hole}, {sides, sides, sides}));
    } else {
      const unsigned along = count(b.along, names);
      if (b.kind == "quarter")
        return quarter_disc(hole, number(b.length, names), sides, across, along);
      mesh = ring_mesh(hole, number(b.length, names), sides, across, along);
      if (b.kind == "disc")
        merge(mesh,
              box_mesh({-hole, -hole, 0}, {hole, hole, number(b.length, names)}, {sides, sides, along}));
    }
  }
  return mesh;
}

MaterialPtr material(const MaterialSpec &m, const Names &names) {
  const auto value = [&](const char *name, double low, double high) {
    const Entry &e = m.parameters.at(name);
    const double x = number(e, names);
    if (!(x > low && x < high) && x != low)
      throw EntryError("out of range: found " + number_text(x), e);
    return x;
  };
  if (m.law == "hyperfoam") {
    const double alpha = value("alpha", -1e3, 1e3);
    if (std::abs(alpha) < 1e-6) // the energy holds 1 / alpha^2
      throw EntryError("out of range: found " + number_text(alpha) +
                           "; allowed -1000 to 1000, in size not below 1e-6",
                       m.parameters.at("alpha"));
    return std::make_shared<Hyperfoam>(value("mu", 1e-30, 1e30), alpha, value("beta", 0, 1e3));
  }
  if (m.parameters.count("mu"))
    return std::make_shared<NeoHooke>(
        NeoHooke::from_lame(value("mu", 1e-30, 1e30), value("lambda", 0, 1e30), m.mixed));
  return std::make_shared<NeoHooke>(value("E", 1e-30, 1e30), value("nu", 0, 0.5), m.mixed);
}

struct Binder {
  const GeneralCase &c;
  BoundProblem &bound;
  ReadingLog &log;

  void mesh() {
    Problem &p = bound.problem;
    unsigned first = 0; // material's index by name
    for (const BlockSpec &b : c.blocks) {
      first = 0;
      if (!b.material.empty()) {
        const auto it = std::find_if(c.materials.begin(), c.materials.end(),
                                     [&](const MaterialSpec &m) { return m.name == b.material; });
        if (it == c.materials.end()) {
          Fault &f = log.fault(b.key + ".material", b.line, "no material is named so");
          f.found = "\"" + printable(b.material) + "\"";
          std::vector<std::string> known;
          for (const MaterialSpec &m : c.materials)
            known.push_back(m.name);
          f.nearest = nearest_name(b.material, known);
        } else
          first = it - c.materials.begin();
      }
      without_fault(log, [&] {
        CoarseMesh part = block_mesh(b, bound.names);
        std::fill(part.tags.begin(), part.tags.end(), first + 1);
        merge(p.mesh, part);
      });
    }
    std::vector<std::function<double(const Vec3 &)>> where;
    for (const NamedFaces &f : c.faces) {
      bound.face_ids[f.name] = bound.face_ids.size() + 1;
      without_fault(log, [&] { where.push_back(scalar_function(f.where, logical_names, map_names())); });
    }
    if (where.size() != c.faces.size())
      return;
    std::vector<unsigned> hits(where.size(), 0);
    name_outer_faces(p.mesh, [&](const Vec3 &centre) {
      for (std::size_t i = 0; i < where.size(); ++i)
        if (where[i](centre) != 0) {
          ++hits[i];
          return bound.face_ids[c.faces[i].name];
        }
      return 0u;
    });
    for (std::size_t i = 0; i < where.size(); ++i)
      if (hits[i] == 0 && !p.mesh.cells.empty())
        log.fault(
            c.faces[i].where.key, c.faces[i].where.line,
            "no outer face of the mesh has its centre there (a face belongs to the first name that fits)");
  }

  Names map_names() const {
    Names names = bound.names;
    names.fields = c.map_fields;
    return names;
  }

  void shape() {
    Problem &p = bound.problem;
    p.position = [](const Vec3 &l) { return l; };
    if (c.position.size() == 3)
      without_fault(log, [&] { p.position = vector_function(c.position, logical_names, map_names()); });
    for (const MaterialSpec &m : c.materials)
      without_fault(log, [&] { p.materials.push_back(material(m, bound.names)); });
    p.material_at = [](const Vec3 &, unsigned tag) { return tag - 1; };
    if (c.body_force.size() == 3)
      without_fault(log, [&] { p.body_force = vector_function(c.body_force, place_names, bound.names); });
    if (c.thermal_strain.given())
      without_fault(log,
                    [&] { p.thermal_strain = scalar_function(c.thermal_strain, place_names, bound.names); });
  }

  void supports() {
    struct Held {
      const SupportSpec *by;
      unsigned id;
    };
    std::vector<Held> held;
    for (const SupportSpec &s : c.supports) {
      Function3 value;
      without_fault(log, [&] {
        if (s.value[0].given())
          value = vector_function({s.value[0], s.value[1], s.value[2]}, place_names, bound.names);
        if (s.where.given()) {
          auto here = scalar_function(s.where, place_names, bound.names);
          bound.problem.fixed_nodes.push_back(
              {[here](const Vec3 &x) { return here(x) != 0; }, s.hold, value});
          if (!any_node(bound.problem.fixed_nodes.back().where))
            throw EntryError("no node of the coarsest mesh stands there", s.where);
        }
      });
      for (const unsigned id : bound.ids(s.faces, log)) {
        for (const Held &other : held)
          if (other.id == id)
            refuse_twice(s, *other.by);
        held.push_back({&s, id});
        bound.problem.fixed.push_back({id, s.hold, value});
      }
    }
  }

  /// Two supports of one face: a fault if they give an axis two values.
  void refuse_twice(const SupportSpec &s, const SupportSpec &other) {
    const auto value = [](const SupportSpec &one, const int axis) {
      return one.value[axis].given() ? one.value[axis].text : "0";
    };
    for (int axis = 0; axis < 3; ++axis)
      if (s.hold[axis] && other.hold[axis] && value(s, axis) != value(other, axis)) {
        if (std::none_of(log.faults.begin(), log.faults.end(), // another variant said so
                         [&](const Fault &f) { return f.key == s.key && f.line == s.line; }))
          log.fault(s.key, s.line,
                    "holds a face along " + place_names[axis] + " that " + other.key +
                        " holds at another value");
        return;
      }
  }

  /// Whether a node of the coarsest mesh, with its edges', faces' and cells' middles, stands there.
  bool any_node(const std::function<bool(const Vec3 &)> &where) const {
    const Problem &p = bound.problem;
    if (p.mesh.cells.empty())
      return true; // the mesh has a fault of its own
    for (const auto &cell : p.mesh.cells)
      for (unsigned n = 0; n < 27; ++n) {
        const double t[3] = {n % 3 / 2.0, n / 3 % 3 / 2.0, n / 9 / 2.0};
        Vec3 l{};
        for (unsigned v = 0; v < 8; ++v) {
          double share = 1;
          for (unsigned axis = 0; axis < 3; ++axis)
            share *= v >> axis & 1 ? t[axis] : 1 - t[axis];
          l = l + share * p.mesh.vertices[cell[v]];
        }
        if (where(p.position(l)))
          return true;
      }
    return false;
  }

  void loads() {
    Problem &p = bound.problem;
    std::map<unsigned, std::string> taken;
    for (const FaceLoadSpec &f : c.loads)
      for (const unsigned id : bound.ids(f.faces, log)) {
        if (!taken.emplace(id, f.key).second)
          log.fault(f.key, f.line,
                    "a face carries one traction, spring or ground; this one has " + taken[id]);
        without_fault(log, [&] { load(f, id, p); });
      }
    if (c.contact.there) {
      const auto upper = bound.ids(c.contact.upper, log), lower = bound.ids(c.contact.lower, log);
      if (!upper.empty() && !lower.empty())
        without_fault(log, [&] {
          const Vec3 d = unit(vector(c.contact.direction, bound.names));
          p.contact.push_back(
              {upper[0], lower[0], c.contact.along[0] - 'x', number(c.contact.stiffness, bound.names), d, d});
        });
    }
  }

  void load(const FaceLoadSpec &f, unsigned id, Problem &p) {
    if (f.kind == "traction") {
      Function3 t = vector_function({f.value[0], f.value[1], f.value[2]}, place_names, bound.names);
      if (!f.follows.names.empty()) {
        bound.ids(f.follows, log);
        bound.follows = f.follows.names.front();
        t = [t, turn = bound.turn](const Vec3 &x) {
          const Vec3 v = t(x);
          const dealii::Tensor<1, 3> w = *turn * dealii::Tensor<1, 3>({v[0], v[1], v[2]});
          return Vec3{w[0], w[1], w[2]};
        };
      }
      p.tractions.push_back({id, t});
      return;
    }
    const Vec3 d = unit(vector(f.value, bound.names));
    const double k = number(f.normal, bound.names);
    if (f.kind == "spring")
      p.springs.push_back({id, d, k, number(f.tangential, bound.names), false});
    else
      p.ground.push_back({id, k, d, d, scalar_function(f.gap, place_names, bound.names)});
  }
};

} // namespace

std::vector<unsigned> BoundProblem::ids(const FaceNames &faces, ReadingLog &log) const {
  std::vector<unsigned> list;
  for (const std::string &name : faces.names) {
    const auto it = face_ids.find(name);
    if (it != face_ids.end()) {
      list.push_back(it->second);
      continue;
    }
    const std::string found = "\"" + printable(name) + "\"";
    if (std::any_of(log.faults.begin(), log.faults.end(), [&](const Fault &f) {
          return f.key == faces.key && f.line == faces.line && f.found == found;
        }))
      continue; // another variant said so
    std::vector<std::string> known;
    for (const auto &[n, id] : face_ids)
      known.push_back(n);
    Fault &f = log.fault(faces.key, faces.line, "no face of the mesh is named so");
    f.found = found;
    f.nearest = nearest_name(name, known);
    if (f.nearest.empty())
      f.allowed = list_text(known);
  }
  return list;
}

const std::vector<std::string> &sample_names() {
  static const std::vector<std::string> names = {
      "x",   "y",   "z",   "ux",  "uy",  "uz",   "gxx", "gxy", "gxz", "gyx", "gyy",
      "gyz", "gzx", "gzy", "gzz", "exx", "eyy",  "ezz", "exy", "eyz", "ezx", "sxx",
      "syy", "szz", "sxy", "syz", "szx", "detF", "nx",  "ny",  "nz",  "s",   "load"};
  return names;
}

bool without_fault(ReadingLog &log, const std::function<void()> &work) {
  try {
    work();
    return true;
  } catch (const EntryError &error) {
    for (const Fault &f : log.faults)
      if (f.key == error.entry.key && f.line == error.entry.line)
        return false; // another variant said so
    log.fault(error.entry.key, error.entry.line, error.what()).nearest = error.nearest;
    return false;
  }
}

Names bind_names(const GeneralCase &c, const VariantSpec *variant, ReadingLog &log) {
  Names names;
  const auto check = [&](const Entry &e) {
    const std::string name = last_name(e.key);
    const auto &taken = sample_names();
    const bool clash = Formula::reserved(name) ||
                       std::find(taken.begin(), taken.end(), name) != taken.end() ||
                       std::find(logical_names.begin(), logical_names.end(), name) != logical_names.end();
    if (!Formula::valid_name(name) || clash)
      throw EntryError(clash ? "the name stands for something else in formulas; choose another"
                             : "a name has letters, digits and underscores, and starts with no digit",
                       e);
    return name;
  };
  std::map<std::string, Entry> changes;
  if (variant)
    for (const Entry &e : variant->changes) {
      const std::string name = last_name(e.key);
      changes[name] = e;
      std::vector<std::string> known;
      for (const Entry &p : c.parameters)
        known.push_back(last_name(p.key));
      if (std::find(known.begin(), known.end(), name) == known.end()) {
        Fault &f = log.fault(e.key, e.line, "unknown key: a variant changes parameters of the case");
        f.nearest = nearest_name(name, known);
      }
    }
  for (const Entry &e : c.parameters)
    without_fault(log, [&] {
      const std::string name = check(e);
      const auto it = changes.find(name);
      const double value = number(it == changes.end() ? e : it->second, names);
      if (!std::isfinite(value))
        throw EntryError("has no finite value", it == changes.end() ? e : it->second);
      names.constants[name] = value;
    });
  for (const auto *list : {&c.fields, &c.map_fields})
    for (const Entry &e : *list)
      without_fault(log, [&] { check(e); });
  names.fields = c.fields;
  return names;
}

BoundProblem bind_problem(const GeneralCase &c, const VariantSpec *variant, ReadingLog &log) {
  BoundProblem bound;
  bound.variant = variant ? variant->name : "";
  bound.turn = std::make_shared<Tensor2>(dealii::unit_symmetric_tensor<3>());
  const std::size_t faults = log.faults.size();
  bound.names = bind_names(c, variant, log);
  if (log.faults.size() > faults)
    return bound; // what uses a name that has no value would only repeat it
  Binder binder{c, bound, log};
  binder.mesh();
  binder.shape();
  binder.supports();
  binder.loads();
  return bound;
}

} // namespace raybend
