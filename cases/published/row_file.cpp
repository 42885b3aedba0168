// Reader of the files in cases/validation/.
#include "cases/published/row_file.hpp"
#include "cases/casefile/source_file.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/lab/key_table.hpp"
#include "cases/words/words.hpp"
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <sstream>

namespace raybend {

namespace {

namespace fs = std::filesystem;
using Need = KeyTable::Need;

constexpr double none = ValidationQuantity::none;

double number(KeyTable &t, const std::string &name, const Need need, const double otherwise) {
  const Entry e = t.formula(name, need);
  if (!e.given())
    return otherwise;
  char *end = nullptr;
  const double value = std::strtod(e.text.c_str(), &end);
  if (*end == '\0' && !e.text.empty())
    return value;
  Fault &f = t.fault(name, "");
  f.found = "\"" + printable(e.text) + "\"";
  f.allowed = "a number";
  return otherwise;
}

void read_run(KeyTable &t, const std::string &folder, const std::string &resolution, PublishedRow &row,
              const std::string &name) {
  const std::string base = t.text("base", Need::must), design = t.text("design", Need::may);
  std::vector<std::string> sets = t.texts("set", Need::may);
  t.refuse_unknown();
  if (base.empty())
    return;
  sets.push_back("mesh.resolution=" + resolution);
  PublishedRun run;
  try {
    run.foot_and_loads = read_case((fs::path(folder) / "base" / (base + ".toml")).string(), sets);
  } catch (const CaseError &error) {
    for (const Fault &f : error.faults())
      t.fault("base", "with its changes: " + f.message());
    return;
  }
  std::vector<std::string> names;
  for (const Design &d : run.foot_and_loads.designs)
    names.push_back(d.name);
  const std::size_t place =
      design.empty() ? 0 : std::find(names.begin(), names.end(), design) - names.begin();
  if (place == names.size()) {
    Fault &f = t.fault("design", "no design of the base case");
    f.found = "\"" + printable(design) + "\"";
    f.allowed = list_text(names);
    f.nearest = nearest_name(design, names);
    return;
  }
  run.design = run.foot_and_loads.designs[place];
  row.runs[name] = std::move(run);
}

/// The keys of a term; what is missing is as in `term`, but for `minus`.
PublishedTerm read_term(KeyTable &t, PublishedTerm term, const PublishedRow &row) {
  term.minus.clear();
  std::vector<std::string> kinds, runs;
  for (const FootReadingKind &kind : foot_reading_kinds())
    kinds.push_back(kind.name);
  for (const auto &[name, run] : row.runs)
    runs.push_back(name);
  FootReading &r = term.reading;
  if (t.has("read") || r.what.empty())
    r.what = t.choice("read", kinds, Need::must);
  const FootReadingKind &kind = foot_reading_kind(r.what);
  r.ray = static_cast<int>(number(t, "ray", Need::may, r.ray));
  const int least = kind.ray == OfRay::must ? 1 : 0, most = kind.ray == OfRay::never ? 0 : 5;
  if (r.ray < least || r.ray > most) {
    Fault &f = t.fault("ray", most == 0 ? r.what + " is of no ray" : "");
    f.found = number_text(r.ray);
    f.allowed = most == 0 ? "" : "1 to 5";
  }
  if (t.has("side"))
    r.side = t.choice("side", {"dorsal", "plantar", "medial", "lateral"}, Need::may);
  r.at = number(t, "at", Need::may, r.at);
  if (t.has("at") && !(r.at >= 0 && r.at <= 1))
    t.fault("at", "").allowed = "0 to 1, a fraction of the ray's length";
  for (const char *key : {"side", "at"})
    if (t.has(key) && !kind.of_strain)
      t.fault(key, "is of a strain");
  const auto run = [&](const char *name, std::string &value) {
    if (t.has(name) && !runs.empty())
      value = t.choice(name, runs, Need::may);
    else if (t.has(name))
      t.text(name, Need::may); // no run could be read: those faults come first
  };
  if (term.run.empty() && !runs.empty())
    term.run = runs.front();
  run("run", term.run);
  run("minus", term.minus);
  return term;
}

std::string run_words(const PublishedTerm &term) {
  return term.run + (term.minus.empty() ? "" : " less " + term.minus);
}

/// What is calculated, in words.
std::string words_of(const PublishedQuantity &q, const bool one_run) {
  const std::string what = words_of(q.value.reading),
                    run = one_run && q.value.minus.empty() ? "" : ", " + run_words(q.value);
  if (!q.over)
    return what + run;
  const std::string between = q.change ? " against " : " over ", over = words_of(q.over->reading);
  if (what == over)
    return (q.change ? "change of " : "") + what + ": " + run_words(q.value) + between + run_words(*q.over);
  return what + run + between + over + (one_run && q.over->minus.empty() ? "" : ", " + run_words(*q.over));
}

void read_quantity(KeyTable &t, PublishedRow &row) {
  PublishedQuantity q;
  ValidationQuantity shown;
  q.value = read_term(t, {}, row);
  KeyTable over = t.table("over");
  if (over.there()) {
    q.over = read_term(over, q.value, row);
    over.refuse_unknown();
    q.change = t.choice("as", {"ratio", "change"}, Need::may) == "change";
  } else if (t.has("as")) {
    t.fault("as", "says how the value stands to \"over\", which is missing");
  }
  shown.above = number(t, "above", Need::may, none);
  shown.below = number(t, "below", Need::may, none);
  shown.pinned = number(t, "found", Need::may, none);
  KeyTable miss = t.table("missed");
  if (miss.there()) {
    shown.miss.because = miss.text("because", Need::must);
    shown.miss.above = number(miss, "above", Need::must, 0);
    shown.miss.below = number(miss, "below", Need::must, 0);
    miss.refuse_unknown();
    if (!shown.decides())
      t.fault("missed", "no range is given that could be missed");
  }
  shown.name = words_of(q, row.runs.size() < 2);
  shown.unit = !q.over ? foot_reading_kind(q.value.reading.what).unit : q.change ? "%" : "";
  q.line = t.line("");
  q.found_line = t.has("found") ? t.line("found") : 0;
  t.refuse_unknown();
  row.shown.quantities.push_back(shown);
  row.quantities.push_back(q);
}

} // namespace

PublishedRow read_published_row(const std::string &path, const std::string &resolution) {
  const toml::table table = parse_toml(read_case_text(path), path);
  ReadingLog log;
  log.file = path;
  KeyTable top(log, &table, "");
  PublishedRow row;
  row.path = path;
  ValidationRow &shown = row.shown;
  shown.name = fs::path(path).stem().string();
  shown.title = top.text("title", Need::must);
  shown.source = top.text("source", Need::must);
  shown.known = top.choice("known", {"read", "memory", "derived", "assumed"}, Need::must);
  shown.group = top.choice("group", {"independent", "direction", "calibrated"}, Need::must);
  const bool calibrated = shown.group == "calibrated";
  shown.set_by_it = top.text("set_by_it", calibrated ? Need::must : Need::may);
  if (!calibrated && top.has("set_by_it"))
    top.fault("set_by_it", "is of a calibrated row");
  shown.note = top.text("note", Need::may);
  shown.resolution = top.has("resolution")
                         ? top.choice("resolution", {"coarse", "standard", "fine"}, Need::may)
                         : "standard";
  shown.pins_count = resolution.empty() || resolution == shown.resolution;
  if (!resolution.empty())
    shown.resolution = resolution;

  KeyTable runs = top.table("run");
  if (const toml::table *named = table["run"].as_table())
    for (const auto &[key, node] : *named) {
      KeyTable run = runs.table(std::string(key.str()));
      if (run.there())
        read_run(run, fs::path(path).parent_path().string(), shown.resolution, row, std::string(key.str()));
    }
  if (!runs.there() || table["run"].as_table()->empty())
    top.fault("run", "missing").allowed = "[run.NAME], a base case with changes";
  std::vector<KeyTable> quantities = top.tables("quantity");
  if (quantities.empty())
    top.fault("quantity", "missing").allowed = "[[quantity]], what is read and its published range";
  if (!row.runs.empty())
    for (KeyTable &t : quantities)
      read_quantity(t, row);
  top.refuse_unknown();
  log.end_if_faulty();
  return row;
}

std::string with_new_pins(const std::string &text, const PublishedRow &row) {
  std::map<int, std::string> replaced, added; // by line, from 1
  for (std::size_t i = 0; i < row.quantities.size(); ++i) {
    const double value = row.shown.quantities[i].value;
    if (!std::isfinite(value))
      continue;
    char words[60];
    std::snprintf(words, sizeof words, "found = %.4g", value);
    const PublishedQuantity &q = row.quantities[i];
    (q.found_line ? replaced[q.found_line] : added[q.line]) = words;
  }
  std::istringstream lines(text);
  std::string out, line;
  for (int n = 1; std::getline(lines, line); ++n) {
    out += (replaced.count(n) ? replaced[n] : line) + "\n";
    if (added.count(n))
      out += added[n] + "\n";
  }
  return out;
}

} // namespace raybend
