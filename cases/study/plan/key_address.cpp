// Addresses of a study's keys: those of --set, and designs[] for all designs.
#include "cases/study/plan/key_address.hpp"
#include "cases/casefile/toml_text.hpp"
#include "cases/forefoot/overrides.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/forefoot/shared_parts.hpp"
#include <algorithm>
#include <cstdio>

namespace raybend {

namespace {

/// The concrete key of an address; "" with a fault.
std::string concrete_key(toml::table root, const std::string &address, std::vector<Fault> &faults) {
  ReadingLog log;
  apply_overrides(root, {address + "=0"}, log);
  faults.insert(faults.end(), log.faults.begin(), log.faults.end());
  return log.faults.empty() && !log.set_keys.empty() ? *log.set_keys.begin() : "";
}

/// A support element's key has the row of its kind.
const CatalogueRow *row_of(const toml::table &root, const std::string &key) {
  if (const CatalogueRow *row = find_catalogue_row(general_key(key)))
    return row;
  unsigned design = 0, element = 0;
  int end = 0;
  if (std::sscanf(key.c_str(), "designs[%u].support[%u]%n", &design, &element, &end) != 2 || end == 0)
    return nullptr;
  const auto kind = root["designs"][design - 1]["support"][element - 1]["kind"].value<std::string>();
  return kind ? find_catalogue_row("designs[].support[" + *kind + "]" + key.substr(end)) : nullptr;
}

} // namespace

KeyAddress find_key(const std::string &address, const std::string &case_text, const std::string &case_path,
                    const std::vector<std::string> &sets) {
  KeyAddress found;
  toml::table root = parse_toml(case_text, case_path);
  ReadingLog ignored;
  ignored.file = case_path;
  ignored.text = case_text;
  write_out_shared(root, ignored);
  apply_overrides(root, sets, ignored);
  const std::string all = "designs[]";
  if (address.compare(0, all.size(), all) == 0) {
    const toml::array *designs = root["designs"].as_array();
    std::vector<Fault> faults;
    for (std::size_t i = 0; designs && i < designs->size(); ++i) {
      const std::string one = "designs[" + std::to_string(i + 1) + "]" + address.substr(all.size());
      if (const std::string key = concrete_key(root, one, faults); !key.empty())
        found.keys.push_back(key);
    }
    if (found.keys.empty())
      found.faults.assign(faults.begin(), faults.begin() + std::min<std::size_t>(1, faults.size()));
  } else if (const std::string key = concrete_key(root, address, found.faults); !key.empty()) {
    found.keys = {key};
  }
  for (const std::string &key : found.keys)
    if (found.row = row_of(root, key); !found.row) {
      std::vector<std::string> changed = sets; // the reader knows what was likely meant
      changed.push_back(key + "=0");
      try {
        read_case_from_text(case_text, case_path, changed, {1, false});
      } catch (const CaseError &error) {
        found.faults = error.faults();
      }
      if (found.faults.empty()) {
        Fault f;
        f.problem = "unknown key";
        found.faults = {f};
      }
      break;
    }
  return found;
}

} // namespace raybend
