// From the tables of a textbook case file to its description.
#include "cases/lab/formula_set.hpp"
#include "cases/lab/general_case.hpp"
#include "cases/words/words.hpp"
#include <algorithm>
#include <cstdlib>

namespace raybend {

namespace {

using Need = KeyTable::Need;

const std::vector<std::string> axes = {"x", "y", "z"},
                               stress_names = {"sxx", "syy", "szz", "sxy", "syz", "szx"};

FaceNames read_faces(KeyTable &t, const std::string &name, Need need) {
  return {t.texts(name, need), t.path(name), t.line(name)};
}

FaceNames read_face(KeyTable &t, const std::string &name, Need need) {
  FaceNames face{{}, t.path(name), t.line(name)};
  if (const std::string one = t.text(name, need); !one.empty())
    face.names = {one};
  return face;
}

BlockSpec read_block(KeyTable &t) {
  BlockSpec b;
  b.key = t.path("");
  b.line = t.line("");
  b.kind = t.choice("kind", {"box", "ring", "disc", "quarter", "octant", "cells"}, Need::must);
  b.material = t.text("material", Need::may);
  if (b.kind == "box") {
    b.low = t.three("low", Need::must);
    b.high = t.three("high", Need::must);
    b.cells = t.three("cells", Need::must);
  } else if (b.kind == "cells") {
    b.vertices = t.formulas("vertices", Need::must);
    b.corners = t.formulas("corners", Need::must);
  } else {
    b.hole = t.formula("hole", Need::must);
    b.sides = t.formula("sides", Need::must);
    b.across = t.formula("across", Need::must);
    if (b.kind != "octant") {
      b.length = t.formula("length", Need::must);
      b.along = t.formula("along", Need::must);
    } else {
      b.length = t.formula_or("core", "0"); // 1: the cube inside is filled
    }
  }
  t.refuse_unknown();
  return b;
}

MaterialSpec read_material(KeyTable &t) {
  MaterialSpec m;
  m.key = t.path("");
  m.line = t.line("");
  m.name = t.text("name", Need::may);
  m.law = t.choice("law", {"elastic", "neo-hooke", "hyperfoam"}, Need::must);
  m.mixed = t.choice("formulation", {"displacement", "mixed"}, Need::may) == "mixed";
  if (m.mixed && m.law == "hyperfoam")
    t.fault("formulation", "mixed is for elastic and neo-hooke");
  const auto take = [&](const char *name, Need need) {
    if (const Entry e = t.formula(name, need); e.given())
      m.parameters[name] = e;
  };
  if (m.law == "hyperfoam") {
    for (const char *name : {"mu", "alpha", "beta"})
      take(name, Need::must);
  } else if (m.law == "neo-hooke" && (t.has("mu") || t.has("lambda"))) {
    take("mu", Need::must);
    take("lambda", Need::must);
  } else {
    take("E", Need::must);
    take("nu", Need::must);
  }
  t.refuse_unknown();
  return m;
}

SupportSpec read_support(KeyTable &t) {
  SupportSpec s;
  s.key = t.path("");
  s.line = t.line("");
  s.where = t.formula("where", Need::may);
  s.faces = read_faces(t, "face", s.where.given() ? Need::may : Need::must);
  if (s.where.given() && !s.faces.names.empty())
    t.fault("where", "stands beside \"face\"; one of the two says what is held");
  for (const std::string &axis : t.texts("hold", Need::must)) {
    const auto it = std::find(axes.begin(), axes.end(), axis);
    if (it == axes.end())
      t.fault("hold", "").allowed = "x, y, z";
    else
      s.hold[it - axes.begin()] = true;
  }
  s.value = t.three("value", Need::may);
  for (int c = 0; c < 3; ++c)
    if (s.value[c].given() && !s.hold[c] && s.value[c].text != "0") {
      Fault &f = t.fault("value", "moves along " + axes[c] + ", which is not held");
      f.found = s.value[c].text;
      f.allowed = "0 there, or \"" + axes[c] + "\" in hold";
    }
  t.refuse_unknown();
  return s;
}

FaceLoadSpec read_load(KeyTable &t, const std::string &kind) {
  FaceLoadSpec f;
  f.kind = kind;
  f.key = t.path("");
  f.line = t.line("");
  f.faces = read_faces(t, "face", Need::must);
  if (kind == "traction") {
    f.value = t.three("value", Need::must);
    f.follows = read_face(t, "follows", Need::may);
  } else if (kind == "spring") {
    f.value = t.three("axis", Need::must);
    f.normal = t.formula("normal", Need::must);
    f.tangential = t.formula_or("tangential", "0");
  } else {
    f.value = t.three("direction", Need::must);
    f.normal = t.formula("stiffness", Need::must);
    f.gap = t.formula_or("gap", "0");
  }
  t.refuse_unknown();
  return f;
}

/// At finite strain a sample's stress is the law's at that point, while the pressure of a mixed cell comes
/// from the cell's projected volume: it would be wrong.
void refuse_stress_of_mixed(KeyTable &t, const std::string &name, const Entry &formula,
                            const GeneralCase &c) {
  if (!c.finite || !formula.given() ||
      std::none_of(c.materials.begin(), c.materials.end(), [](const MaterialSpec &m) { return m.mixed; }))
    return;
  for (const std::string &used : names_used({formula}, c.fields))
    if (std::find(stress_names.begin(), stress_names.end(), used) != stress_names.end()) {
      Fault &f = t.fault(name, "a material is mixed and the solution has finite strain");
      f.found = "\"" + used + "\"";
      f.allowed = "no stress: displacement, its gradient, strain, detF";
      return;
    }
}

/// The name of one of the case's variants; a fault if there is none such.
std::string read_variant(KeyTable &t, const GeneralCase &c) {
  const std::string name = t.text("variant", Need::may);
  std::vector<std::string> known;
  for (const VariantSpec &v : c.variants)
    known.push_back(v.name);
  if (t.has("variant") && std::find(known.begin(), known.end(), name) == known.end()) {
    Fault &f = t.fault("variant", "no variant is named so");
    f.found = "\"" + printable(name) + "\"";
    f.nearest = nearest_name(name, known);
    if (f.nearest.empty())
      f.allowed = known.empty() ? "a name of a [[variant]]; the case has none" : list_text(known);
  }
  return name;
}

QuantitySpec read_quantity(KeyTable &t, const GeneralCase &c) {
  QuantitySpec q;
  q.key = t.path("");
  q.line = t.line("");
  q.name = t.text("name", Need::must);
  q.unit = t.text("unit", Need::may);
  q.id = t.text("id", Need::may);
  q.variant = read_variant(t, c);
  q.kind = t.choice(
      "kind",
      {"point", "mean", "integral", "volume", "reaction", "section", "ground", "crossing", "rule", "modes"},
      Need::may);
  q.value = t.formula("value", Need::must);
  if (q.kind == "point")
    q.at = t.three("at", Need::must);
  if (q.kind == "crossing") {
    q.at = t.three("from", Need::must);
    q.to = t.three("to", Need::must);
  }
  if (q.kind == "mean" || q.kind == "integral" || q.kind == "reaction")
    q.faces = read_faces(t, "face", Need::must);
  if (q.kind == "section") {
    if (c.finite) { // Body::section sums small-strain stress
      Fault &f = t.fault("kind", "the solution has finite strain");
      f.found = "\"section\"";
      f.allowed = "section with solution.strain = \"small\" only; forces at faces: reaction";
    }
    q.axis = t.choice("axis", axes, Need::must);
    q.place = t.formula("place", Need::must);
    q.at = t.three("centre", Need::must);
  }
  if (q.kind != "rule")
    refuse_stress_of_mixed(t, "value", q.value, c);
  q.load = t.formula("load", Need::may);
  if (q.load.given() && !c.finite)
    t.fault("load",
            "only with solution.strain = \"finite\": small strain is solved at once, at the full load");
  q.decides = t.flag("decides", t.has("reference"));
  q.reference = t.formula("reference", q.decides ? Need::must : Need::may);
  q.tolerance_percent = t.formula_or("tolerance_percent", "0");
  q.tolerance = t.formula_or("tolerance", "0");
  if (q.decides && !t.has("tolerance") && !t.has("tolerance_percent"))
    t.fault("tolerance_percent", "missing").allowed =
        "tolerance_percent, or tolerance in the quantity's unit; or decides = false";
  if (t.has("tolerance") && t.has("tolerance_percent"))
    t.fault("tolerance", "stands beside tolerance_percent; one of the two says what counts as agreement");
  q.order = t.formula_or("order", "2");
  q.known = t.has("known") ? t.choice("known", {"calc", "read", "memory", "exact"}, Need::may) : c.known;
  q.source = t.text("source", Need::may);
  if (q.source.empty())
    q.source = c.source;
  q.note = t.text("note", Need::may);
  q.why = t.text("why", Need::may);
  if (q.why.empty())
    q.why = c.why;
  t.refuse_unknown();
  return q;
}

CurveSpec read_curve(KeyTable &t, const GeneralCase &given) {
  CurveSpec c;
  c.title = t.text("title", Need::must);
  c.x_label = t.text("x_label", Need::must);
  c.y_label = t.text("y_label", Need::must);
  c.variant = read_variant(t, given);
  c.over_load = t.has("at");
  c.from = c.over_load ? t.three("at", Need::must) : t.three("from", Need::must);
  if (!c.over_load)
    c.to = t.three("to", Need::must);
  c.points = t.formula_or("points", "41");
  c.x = t.formula_or("x", c.over_load ? "load" : "s");
  c.value = t.formula("value", Need::must);
  c.closed_form = t.formula("closed_form", Need::may);
  for (KeyTable &p : t.tables("closed_points"))
    c.closed_points.push_back({p.formula("x", Need::must), p.formula("y", Need::must)});
  refuse_stress_of_mixed(t, "x", c.x, given);
  refuse_stress_of_mixed(t, "value", c.value, given);
  refuse_stress_of_mixed(t, "closed_form", c.closed_form, given);
  t.refuse_unknown();
  return c;
}

} // namespace

void read_case_head(KeyTable &top, GeneralCase &c) {
  c.title = top.text("title", Need::must);
  c.source = top.text("source", Need::must);
  c.known = top.choice("known", {"calc", "read", "memory", "exact"}, Need::must);
  c.note = top.text("note", Need::may);
  c.why = top.text("why", Need::may);
  const Entry cost = top.formula_or("cost_s", "1");
  c.cost = std::strtod(cost.text.c_str(), nullptr);
  const Entry levels = top.formula_or("levels", "3");
  const double n = levels.text.size() == 1 ? levels.text[0] - '0' : 0;
  if (n < 1 || n > 6) {
    Fault &f = top.fault("levels", "");
    f.found = levels.text;
    f.allowed = "a whole number, 1 to 6";
  } else {
    c.levels = static_cast<unsigned>(n);
  }
}

void read_general_case(KeyTable &top, GeneralCase &c) {
  KeyTable parameters = top.table("parameters");
  c.parameters = parameters.definitions();
  KeyTable fields = top.table("fields");
  c.fields = fields.definitions();
  for (KeyTable &t : top.tables("variant")) {
    VariantSpec v;
    v.name = t.text("name", Need::must);
    v.changes = t.definitions();
    for (const VariantSpec &other : c.variants)
      if (other.name == v.name)
        t.fault("name", "another variant has this name").found = "\"" + printable(v.name) + "\"";
    c.variants.push_back(v);
  }
  KeyTable mesh = top.table("mesh");
  if (!mesh.there())
    top.fault("mesh", "missing").allowed = "a table: [mesh] with blocks and faces";
  c.position = mesh.formulas("position", Need::may);
  if (!c.position.empty() && c.position.size() != 3)
    mesh.fault("position", "").allowed = "three formulas: [x, y, z] of xi, eta, zeta";
  KeyTable map = mesh.table("let");
  c.map_fields = map.definitions();
  for (KeyTable &t : mesh.tables("block"))
    c.blocks.push_back(read_block(t));
  if (mesh.there() && c.blocks.empty())
    mesh.fault("block", "missing").allowed = "one or more tables [[mesh.block]]";
  for (KeyTable &t : mesh.tables("face")) {
    c.faces.push_back({t.text("name", Need::must), t.formula("where", Need::must)});
    t.refuse_unknown();
  }
  mesh.refuse_unknown();
  for (KeyTable &t : top.tables("material"))
    c.materials.push_back(read_material(t));
  if (c.materials.empty())
    top.fault("material", "missing").allowed = "one or more tables [[material]]";
  for (KeyTable &t : top.tables("support"))
    c.supports.push_back(read_support(t));
  for (const char *kind : {"traction", "spring", "ground"})
    for (KeyTable &t : top.tables(kind))
      c.loads.push_back(read_load(t, kind));
  KeyTable contact = top.table("contact");
  if (contact.there()) {
    c.contact.there = true;
    c.contact.upper = read_face(contact, "upper", Need::must);
    c.contact.lower = read_face(contact, "lower", Need::must);
    c.contact.along = contact.choice("along", axes, Need::must);
    c.contact.stiffness = contact.formula("stiffness", Need::must);
    c.contact.direction = contact.three("direction", Need::must);
    contact.refuse_unknown();
  }
  KeyTable body = top.table("body");
  c.body_force = body.formulas("force", Need::may);
  if (!c.body_force.empty() && c.body_force.size() != 3)
    body.fault("force", "").allowed = "three formulas: [x, y, z]";
  c.thermal_strain = body.formula("thermal_strain", Need::may);
  body.refuse_unknown();
  KeyTable solution = top.table("solution");
  c.finite = solution.choice("strain", {"small", "finite"}, Need::may) == "finite";
  c.solver = solution.choice("solver", {"auto", "direct", "multigrid", "none"}, Need::may);
  c.steps = solution.formulas("steps", Need::may);
  c.force_scale = solution.formula_or("force_scale", "1");
  c.residual = solution.formula_or("residual", "1e-9");
  if (!c.finite && !c.steps.empty())
    solution.fault("steps", "only with strain = \"finite\": small strain is solved at once");
  if (c.finite && c.thermal_strain.given()) {
    Fault &f = body.fault("thermal_strain", "the solution has finite strain");
    f.found = "\"" + c.thermal_strain.text + "\"";
    f.allowed = "with solution.strain = \"small\" only";
  }
  solution.refuse_unknown();
  for (KeyTable &t : top.tables("quantity"))
    c.quantities.push_back(read_quantity(t, c));
  if (c.quantities.empty())
    top.fault("quantity", "missing").allowed = "one or more tables [[quantity]]";
  else if (std::none_of(c.quantities.begin(), c.quantities.end(),
                        [](const QuantitySpec &q) { return q.decides; }))
    top.fault("quantity", "none decides: nothing would be compared").allowed = "a reference for one or more";
  for (KeyTable &t : top.tables("curve"))
    c.curves.push_back(read_curve(t, c));
  top.refuse_unknown();
}

} // namespace raybend
