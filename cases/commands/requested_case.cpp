// The case that a command line names, with --set and --resolution.
#include "cases/commands/requested_case.hpp"
#include "cases/catalogue/catalogue.hpp"
#include "cases/forefoot/reader.hpp"
#include "cases/words/words.hpp"
#include <algorithm>

namespace raybend {

std::vector<std::string> changes_of(const Request &request) {
  std::vector<std::string> sets = request.texts("set");
  if (request.has("resolution")) {
    const std::string word = request.text("resolution", "");
    const std::vector<std::string> &known = catalogue_row("mesh.resolution").choices;
    if (std::find(known.begin(), known.end(), word) == known.end()) {
      const std::string nearest = nearest_name(word, known);
      throw UsageError("--resolution: found \"" + printable(word) + "\"; allowed " + list_text(known) +
                       (nearest.empty() ? "" : "; did you mean \"" + nearest + "\"?"));
    }
    sets.push_back("mesh.resolution=" + word);
  }
  return sets;
}

Case requested_case(const Request &request, const std::string *text) {
  const std::string &path = request.file("case file");
  const std::vector<std::string> sets = changes_of(request);
  return text ? read_case_from_text(*text, path, sets) : read_case(path, sets);
}

} // namespace raybend
