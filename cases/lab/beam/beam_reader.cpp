// From a beam file's tables to a Beam, with the faults of several values together.
#include "cases/lab/beam/beam_reader.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/lab/beam/beam_section_reader.hpp"
#include "cases/words/words.hpp"
#include "geometry/beam_holds.hpp"
#include "geometry/constants.hpp"
#include <algorithm>

namespace raybend {

namespace {

std::string number_in_list(const char *list, const std::size_t i) {
  return std::string("beam.") + list + "[" + std::to_string(i + 1) + "]";
}

/// A place along the axis; a fault if it lies beyond the beam.
double read_place(TableReader &table, const std::string &name, const double otherwise, const double length) {
  const double x = table.number(name).value_or(otherwise);
  if (length > 0 && x > length * (1 + 1e-12)) {
    Fault &f = table.fault(name, "lies beyond the far end");
    f.found = number_text(x, 10);
    f.allowed = "0 to " + number_text(length, 10) + " mm (length_mm)";
  }
  return x;
}

void refuse_for_kind(TableReader &table, const std::string &kind, const std::vector<std::string> &names) {
  for (const std::string &name : names)
    if (table.has(name))
      table.fault(name, "does not belong to kind \"" + kind + "\"");
}

bool need(TableReader &table, const std::string &kind, const std::string &name) {
  if (table.has(name))
    return true;
  table.fault(name, "missing: kind \"" + kind + "\" needs it");
  return false;
}

int axis_of(const std::string &word) {
  return word.back() - 'x';
}

void read_support(TableReader &table, Beam &beam) {
  BeamSupport s;
  const auto kind = table.text("kind");
  s.at = read_place(table, "at_mm", 0, beam.length);
  s.axis = axis_of(table.text("axis").value_or("z"));
  const auto pushes = table.text("pushes");
  const auto stiffness = table.number("stiffness_n_per_mm");
  s.settlement = table.number("settlement_mm").value_or(0);
  table.refuse_unknown();
  if (!kind)
    return;
  const bool end = s.at < 1e-9 * beam.length || s.at > beam.length * (1 - 1e-9);
  std::vector<std::string> strange;
  if (*kind == "clamped" || *kind == "soft_clamped") {
    s.kind = *kind == "clamped" ? HoldKind::clamped : HoldKind::soft_clamped;
    strange = {"axis", "pushes", "stiffness_n_per_mm"};
    if (s.kind == HoldKind::clamped && !end && beam.length > 0) {
      Fault &f =
          table.fault("at_mm", "only an end face can be clamped wholly; soft_clamped can stand anywhere");
      f.found = number_text(s.at, 10);
      f.allowed = "0 or " + number_text(beam.length, 10) + " mm";
    }
  } else if (*kind == "pinned") {
    s.kind = HoldKind::pinned;
    strange = {"axis", "pushes", "stiffness_n_per_mm"};
  } else if (*kind == "roller") {
    s.kind = HoldKind::roller;
    strange = {"pushes", "stiffness_n_per_mm"};
  } else if (*kind == "unilateral") {
    s.kind = HoldKind::unilateral;
    strange = {"axis", "stiffness_n_per_mm"};
    const std::string way = pushes.value_or("+z");
    s.axis = axis_of(way);
    s.sign = way[0] == '-' ? -1 : 1;
  } else {
    s.kind = HoldKind::spring;
    strange = {"pushes"};
    need(table, *kind, "stiffness_n_per_mm");
    s.stiffness = stiffness.value_or(1);
  }
  refuse_for_kind(table, *kind, strange);
  beam.supports.push_back(s);
}

void read_load(TableReader &table, Beam &beam) {
  BeamLoad l;
  const auto kind = table.text("kind");
  const double at = read_place(table, "at_mm", beam.length, beam.length);
  l.from = read_place(table, "from_mm", 0, beam.length);
  l.to = read_place(table, "to_mm", beam.length, beam.length);
  const auto axis = table.text("axis");
  const auto angle = table.number("angle_deg");
  const auto force = table.number("force_n"), line = table.number("force_n_per_mm"),
             end_line = table.number("end_force_n_per_mm"), moment = table.number("moment_n_mm");
  table.refuse_unknown();
  if (!kind)
    return;
  if (axis && angle)
    table.fault("angle_deg", "says the direction a second time; give axis or angle_deg");
  Vec3 direction{};
  direction[axis_of(axis.value_or(*kind == "torque" ? "x" : *kind == "moment" ? "y" : "z"))] = 1;
  if (angle)
    direction = {0, std::sin(*angle * pi / 180), std::cos(*angle * pi / 180)};
  std::string size = "force_n";
  if (*kind == "force") {
    refuse_for_kind(table, *kind,
                    {"from_mm", "to_mm", "force_n_per_mm", "end_force_n_per_mm", "moment_n_mm"});
    l.from = l.to = at;
    l.vector = force.value_or(0) * direction;
  } else if (*kind == "distributed") {
    size = "force_n_per_mm";
    l.kind = LoadKindOfBeam::distributed;
    refuse_for_kind(table, *kind, {"at_mm", "force_n", "moment_n_mm"});
    const double first = line.value_or(0), last = end_line.value_or(first);
    const double most = std::abs(last) > std::abs(first) ? last : first;
    l.vector = most * direction;
    if (most != 0) {
      l.from_share = first / most;
      l.to_share = last / most;
    }
    if (l.from_share < 0 || l.to_share < 0) {
      Fault &f = table.fault("end_force_n_per_mm", "the load changes its sign on the way; give two loads");
      f.found = number_text(first, 10) + " to " + number_text(last, 10);
    }
    if (l.to <= l.from) {
      Fault &f = table.fault(table.has("to_mm") ? "to_mm" : "from_mm", "the stretch ends before it begins");
      f.found = number_text(l.from, 10) + " to " + number_text(l.to, 10) + " mm";
    }
  } else {
    size = "moment_n_mm";
    l.kind = LoadKindOfBeam::moment;
    refuse_for_kind(table, *kind,
                    {"from_mm", "to_mm", "force_n", "force_n_per_mm", "end_force_n_per_mm", "angle_deg"});
    if (*kind == "torque")
      refuse_for_kind(table, *kind, {"axis"});
    l.from = l.to = at;
    const AxisFrame frame = axis_frame(beam, at);
    l.vector = moment.value_or(0) * (*kind == "torque" ? frame.along : direction);
    if (beam.finite_strain)
      table.fault("kind",
                  "a couple that keeps its direction means nothing at large rotations (strain = \"finite\"); "
                  "give forces");
  }
  if (need(table, *kind, size) && norm(l.vector) == 0 && (force || line || moment))
    table.fault(size, "is zero: it loads nothing");
  beam.loads.push_back(l);
}

void read_temperature(TableReader &beam_table, Beam &beam) {
  const toml::table *source = beam_table.sub_table("temperature");
  if (!source)
    return;
  TableReader table(beam_table.log, source, "beam.temperature", {"beam.temperature"});
  beam.temperature.rise = table.number("rise_k").value_or(0);
  beam.temperature.top_less_bottom = table.number("top_less_bottom_k").value_or(0);
  if (beam.temperature.rise == 0 && beam.temperature.top_less_bottom == 0)
    table.fault(table.has("top_less_bottom_k") ? "top_less_bottom_k" : "rise_k", "is zero: it warms nothing");
  if (beam.material.expansion == 0 && beam.top_material.expansion == 0)
    beam_table.fault("temperature", "does nothing: no material has expansion_per_k");
  if (beam.finite_strain)
    beam_table.fault("temperature", "goes with strain = \"small\" only");
  table.refuse_unknown();
}

void read_foundation(TableReader &table, Beam &beam) {
  BeamFoundation f;
  f.from = read_place(table, "from_mm", 0, beam.length);
  f.to = read_place(table, "to_mm", beam.length, beam.length);
  f.modulus = table.number("modulus_mpa").value_or(1);
  table.refuse_unknown();
  if (f.to <= f.from) {
    Fault &fault = table.fault(table.has("to_mm") ? "to_mm" : "from_mm", "the stretch ends before it begins");
    fault.found = number_text(f.from, 10) + " to " + number_text(f.to, 10) + " mm";
  }
  beam.foundations.push_back(f);
}

/// The body's planes are at least a tenth of a slice apart (solver/beam/beam_problem.cpp): what is shorter would
/// load or bear nothing.
void check_stretches(ReadingLog &log, const Beam &beam) {
  const double least = 0.1 * slice_length(beam);
  const auto check = [&](const std::string &place, const double from, const double to) {
    if (to <= from || to - from >= least)
      return;
    Fault &f = log.fault_of({place + ".to_mm", place + ".from_mm"},
                            "the stretch is too short for the body's slices");
    f.found = number_text(from, 10) + " to " + number_text(to, 10) + " mm";
    f.allowed = number_text(least, 3) + " mm or more";
  };
  for (std::size_t i = 0; i < beam.loads.size(); ++i)
    if (beam.loads[i].kind == LoadKindOfBeam::distributed)
      check(number_in_list("load", i), beam.loads[i].from, beam.loads[i].to);
  for (std::size_t i = 0; i < beam.foundations.size(); ++i)
    check(number_in_list("foundation", i), beam.foundations[i].from, beam.foundations[i].to);
}

/// Point loads and supports stand for short slices of the body: two of them may share a place, but not
/// overlap.
void check_distances(ReadingLog &log, const Beam &beam) {
  struct Place {
    double at;
    std::string key, words;
  };
  std::vector<Place> places;
  for (std::size_t i = 0; i < beam.supports.size(); ++i)
    places.push_back(
        {beam.supports[i].at, number_in_list("support", i) + ".at_mm", "support " + std::to_string(i + 1)});
  for (std::size_t i = 0; i < beam.loads.size(); ++i)
    if (beam.loads[i].kind != LoadKindOfBeam::distributed)
      places.push_back(
          {beam.loads[i].from, number_in_list("load", i) + ".at_mm", "load " + std::to_string(i + 1)});
  for (std::size_t i = 0; i < beam.section.steps.size(); ++i)
    places.push_back({beam.section.steps[i].at, "beam.section.step[" + std::to_string(i + 1) + "].at_mm",
                      "step " + std::to_string(i + 1)});
  places.push_back({0, "", "the start"});
  places.push_back({beam.length, "", "the far end"});
  for (std::size_t i = 0; i < places.size(); ++i)
    for (std::size_t j = 0; j < places.size(); ++j) {
      const double apart = std::abs(places[i].at - places[j].at), least = 1.02 * slice_length(beam);
      if ((j < i || places[j].key.empty()) && !places[i].key.empty() && apart > 1e-9 * beam.length &&
          apart < least)
        log.fault_of({places[i].key}, "stands closer than " + number_text(least, 3) + " mm to " +
                                          places[j].words + ", but not in the same place");
    }
}

/// A step is a short cone about its place: nothing else stands there.
void check_steps(ReadingLog &log, const Beam &beam) {
  for (std::size_t i = 0; i < beam.section.steps.size(); ++i)
    for (const double at : concentrated_places(beam))
      if (std::abs(at - beam.section.steps[i].at) < 1e-9 * beam.length)
        log.fault_of({"beam.section.step[" + std::to_string(i + 1) + "].at_mm"},
                     "a load or a support stands where the section steps");
}

/// Faults of several values together.
void check_together(ReadingLog &log, const Beam &beam) {
  for (std::size_t i = 0; i < beam.supports.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) {
      const BeamSupport &a = beam.supports[i], &b = beam.supports[j];
      const auto whole = [](const BeamSupport &s) {
        return s.kind == HoldKind::clamped || s.kind == HoldKind::soft_clamped || s.kind == HoldKind::pinned;
      };
      if (std::abs(a.at - b.at) < 1e-9 * beam.length && (whole(a) || whole(b) || a.axis == b.axis))
        log.fault_of({number_in_list("support", i) + ".at_mm"},
                     "another support stands here already (support " + std::to_string(j + 1) + ")");
    }
  check_distances(log, beam);
  check_stretches(log, beam);
  check_steps(log, beam);
  if (!beam.foundations.empty() && (beam.radius != 0 || beam.finite_strain))
    log.fault_of({"beam.foundation[1].modulus_mpa"},
                 beam.radius != 0 ? "an elastic foundation needs a straight beam"
                                  : "an elastic foundation goes with strain = \"small\" only");
  if (const std::string motion = moving_away(beam, holds_of(beam)); !motion.empty())
    log.fault_of({beam.supports.empty() ? "beam.load[1].kind" : "beam.support[1].kind"},
                 "nothing holds the beam against its loads: " + motion + " is free");
}

} // namespace

Beam read_beam_table(ReadingLog &log, const toml::table &root, int &levels) {
  Beam beam;
  TableReader top(log, &root, "", {"beam"});
  const toml::table *source = top.sub_table("beam");
  if (!source) {
    if (!top.has("beam"))
      log.fault("beam", 1, "missing table [beam]");
    return beam;
  }
  TableReader table(log, source, "beam", {"beam"});
  beam.title = table.text("title").value_or("");
  beam.note = table.text("note").value_or("");
  beam.length = table.number("length_mm").value_or(0);
  levels = table.integer("levels").value_or(levels);
  beam.finite_strain = table.text("strain").value_or("small") == "finite";
  beam.load_steps = table.integer("load_steps").value_or(1);
  if (table.has("load_steps") && !beam.finite_strain)
    table.fault("load_steps", "only with strain = \"finite\": small strain is solved at once");
  if (const auto radius = table.number("radius_mm")) {
    beam.radius = *radius;
    if (std::abs(*radius) < beam.length / 5.5) {
      Fault &f =
          table.fault("radius_mm", *radius == 0 ? "a radius is not 0; leave the key out for a straight beam"
                                                : "the arc closes on itself");
      f.found = number_text(*radius, 10);
      f.allowed = "beyond +-" + number_text(beam.length / 5.5, 4) + " mm for this length";
    }
  }
  read_beam_section(table, beam);
  const auto supports = table.table_list("support"), loads = table.table_list("load"),
             foundations = table.table_list("foundation");
  for (std::size_t i = 0; i < supports.size(); ++i) {
    TableReader one(log, supports[i], number_in_list("support", i), {"beam.support[]"});
    read_support(one, beam);
  }
  for (std::size_t i = 0; i < loads.size(); ++i) {
    TableReader one(log, loads[i], number_in_list("load", i), {"beam.load[]"});
    read_load(one, beam);
  }
  for (std::size_t i = 0; i < foundations.size(); ++i) {
    TableReader one(log, foundations[i], number_in_list("foundation", i), {"beam.foundation[]"});
    read_foundation(one, beam);
  }
  read_temperature(table, beam);
  const bool settles = std::any_of(beam.supports.begin(), beam.supports.end(),
                                   [](const BeamSupport &s) { return s.settlement != 0; });
  if (loads.empty() && !table.has("load") && !table.has("temperature") && !settles)
    table.fault("load",
                "missing: a line [[beam.load]] with its keys below (or a temperature, or a settlement)");
  table.refuse_unknown();
  if (log.faults.empty())
    check_together(log, beam);
  return beam;
}

BeamCase read_beam(const std::string &path) {
  return read_beam_from_text(read_case_text(path), path);
}

BeamCase read_beam_from_text(const std::string &text, const std::string &path) {
  BeamCase c;
  c.path = path;
  c.source_text = text;
  const toml::table root = parse_toml(text, path);
  if (!root.contains("beam") && root.contains("designs"))
    throw other_file(path, "forefoot case", "beam file", "compare");
  ReadingLog log;
  log.file = path;
  log.text = text;
  c.beam = read_beam_table(log, root, c.levels);
  // What a textbook case has besides; `raybend textbook` reads it in full.
  const std::vector<std::string> besides = {"title", "source", "known",  "note",
                                            "why",   "levels", "cost_s", "quantity"};
  for (const auto &[key, value] : root)
    if (const std::string name(key.str());
        name != "beam" && std::find(besides.begin(), besides.end(), name) == besides.end()) {
      Fault &f = log.fault(printable(name), static_cast<int>(key.source().begin.line), "unknown key");
      f.nearest = nearest_name(name, {"beam", "quantity"});
      if (f.nearest.empty())
        f.allowed = "beam: everything stands in [beam] and its tables, but what is compared in [[quantity]]";
    }
  const auto word = [&root](const char *name) { return root[name].value_or(std::string()); };
  log.text.clear(); // references have as many digits as they have: no word about 49.346 and 49346
  c.quantities = read_beam_quantities(log, root, c.beam, word("known"), word("source"));
  if (c.beam.title.empty())
    c.beam.title = word("title");
  if (c.beam.note.empty())
    c.beam.note = word("note");
  log.end_if_faulty();
  if (c.beam.title.empty())
    c.beam.title = case_stem(path);
  c.warnings = log.warnings;
  return c;
}

} // namespace raybend
