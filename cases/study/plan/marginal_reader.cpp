// Lists, ranges and distributions of a study file, checked against the catalogue.
#include "cases/study/plan/marginal_reader.hpp"

namespace raybend {

namespace {

constexpr std::size_t most_listed = 10000; // values of one input

void read_list(StudyTable &table, const std::string &name, const CatalogueRow &row, Marginal &m) {
  const toml::array *list = table.list(name);
  if (!list)
    return;
  const bool numbers = row.type == KeyType::number || row.type == KeyType::integer;
  for (const toml::node &item : *list) {
    if (numbers) {
      const auto x = item.is_number() ? item.value<double>() : std::nullopt;
      if (!x || !row.allowed.holds(*x) || (row.type == KeyType::integer && *x != std::floor(*x)))
        table.wrong_item(name, item, row.allowed_words());
      else if (std::find(m.values.begin(), m.values.end(), *x) != m.values.end())
        table.wrong_item(name, item, "each value once");
      else
        m.values.push_back(*x);
      continue;
    }
    const bool flag = row.type == KeyType::boolean;
    const std::string word = flag && item.is_boolean()   ? (item.as_boolean()->get() ? "true" : "false")
                             : !flag && item.is_string() ? item.as_string()->get()
                                                         : "";
    const bool known =
        row.choices.empty() || std::find(row.choices.begin(), row.choices.end(), word) != row.choices.end();
    if (word.empty() || !known) {
      Fault &f = table.wrong_item(name, item, row.allowed_words());
      f.propose(likely_names(word, row.choices));
    } else {
      m.values.push_back(m.values.size());
      m.words.push_back(word);
    }
  }
}

void read_range(StudyTable &table, const CatalogueRow &row, Marginal &m) {
  if (row.type != KeyType::number && row.type != KeyType::integer) {
    table.know({"from", "to", "step"});
    table.fault("key", "takes words, which have no range; give values = [..]").allowed = row.allowed_words();
    return;
  }
  const double low = row.allowed.low, high = row.allowed.high;
  const auto from = table.number("from", low, high), to = table.number("to", low, high);
  const auto step = table.number("step", 0, high - low);
  if (!from || !to || !step) {
    for (const char *name : {"from", "to", "step"})
      if (!table.has(name))
        table.fault(name, "missing: a range has from, to and step");
    return;
  }
  if (*to < *from || *step == 0) {
    table.fault(*step == 0 ? "step" : "to", *step == 0 ? "no step forward" : "less than from").found =
        number_text(*step == 0 ? *step : *to);
    return;
  }
  const double n = std::floor((*to - *from) / *step + 1e-9) + 1;
  if (n > most_listed) {
    table.fault("step", "too many values").found = number_text(n);
    return;
  }
  for (int i = 0; i < n; ++i)
    m.values.push_back(std::stod(number_text(*from + i * *step, 12)));
  if (row.type == KeyType::integer && (*from != std::floor(*from) || *step != std::floor(*step)))
    table.fault("step", "whole numbers are wanted");
}

void read_distribution(StudyTable &table, const std::string &key, const CatalogueRow &row,
                       const std::optional<double> value, Marginal &m) {
  std::vector<std::string> names = distribution_names();
  names.push_back("catalogue");
  const auto word = table.choice("distribution", names);
  if (!word)
    return;
  const double least = row.allowed.low, most = row.allowed.high;
  if (row.type != KeyType::number) {
    table.fault("distribution", key + " is not a number with decimals; give a list of values");
    return;
  }
  m.low = table.number("low", least, most).value_or(least);
  m.high = table.number("high", least, most).value_or(most);
  const auto need = [&](const char *name) {
    const auto x = table.number(name);
    if (!x && !table.has(name))
      table.fault(name, "missing: a " + *word + " distribution has it");
    return x.value_or(std::nan(""));
  };
  if (*word == "catalogue") {
    const std::string prefix = "patient.ray";
    const int ray = key.compare(0, prefix.size(), prefix) == 0 ? key[prefix.size()] - '0' : 0;
    const auto spread = row.spread(ray);
    if (!spread || (spread->deviation > 0 && !value)) {
      table.fault("distribution", "the catalogue has no spread of " + key + "; give a distribution");
      return;
    }
    if (spread->deviation > 0) {
      m.kind = Marginal::Kind::normal;
      m.mean = *value;
      m.deviation = spread->deviation_at(*value, false);
    } else {
      m.kind = Marginal::Kind::uniform;
      m.low = std::max(m.low, spread->low);
      m.high = std::min(m.high, spread->high);
    }
  } else {
    m.kind = Marginal::Kind(1 + std::find(names.begin(), names.end(), *word) - names.begin());
    if (m.kind == Marginal::Kind::normal || m.kind == Marginal::Kind::lognormal) {
      m.mean = need("mean");
      m.deviation = need("deviation");
      if (m.deviation <= 0)
        table.fault("deviation", "above 0 is wanted").found = number_text(m.deviation);
      if (m.kind == Marginal::Kind::lognormal && m.mean <= 0)
        table.fault("mean", "above 0 is wanted of a lognormal").found = number_text(m.mean);
      if (m.mean < m.low || m.mean > m.high) {
        Fault &f = table.fault("mean", "lies outside what is kept of the distribution");
        f.found = number_text(m.mean);
        f.allowed = number_text(m.low) + " to " + number_text(m.high);
      }
    } else {
      need("low"), need("high");
      if (m.kind == Marginal::Kind::triangular)
        m.mode = need("mode");
      if (m.mode < m.low || m.mode > m.high)
        if (m.kind == Marginal::Kind::triangular)
          table.fault("mode", "lies outside low to high").found = number_text(m.mode);
    }
  }
  if (!(m.low < m.high)) {
    Fault &f = table.fault(table.has("high") ? "high" : "distribution", "not above low");
    f.found = number_text(m.high);
  }
}

} // namespace

Marginal read_marginal(StudyTable &table, const std::string &key, const CatalogueRow &row,
                       const std::optional<double> in_case) {
  Marginal m;
  const int ways = table.has("values") + (table.has("from") || table.has("step") || table.has("to")) +
                   table.has("distribution");
  if (ways != 1) {
    table.know({"values", "from", "to", "step", "distribution", "low", "high", "mean", "deviation", "mode"});
    table.fault("key", ways == 0 ? "nothing says how it varies" : "several things say how it varies")
        .allowed = "one of: values = [..]; from, to and step; distribution";
  } else if (table.has("values"))
    read_list(table, "values", row, m);
  else if (table.has("distribution"))
    read_distribution(table, key, row, in_case, m);
  else
    read_range(table, row, m);
  return m;
}

} // namespace raybend
