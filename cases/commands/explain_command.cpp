// The command `raybend explain`: what a key means.
#include "cases/catalogue/explain.hpp"
#include "cases/commands/command.hpp"
#include "cases/words/words.hpp"
#include <iostream>

namespace raybend {

namespace {

int run(const Request &request) {
  if (request.arguments.empty()) {
    std::cout << explain_all();
    return 0;
  }
  std::string nearest;
  const std::string text = explain_one(request.arguments[0], nearest);
  if (text.empty())
    throw UsageError("nothing is named \"" + printable(request.arguments[0]) + "\"" +
                     (nearest.empty() ? "; see raybend explain" : "; did you mean " + nearest + "?"));
  std::cout << text;
  return 0;
}

} // namespace

Command explain_command() {
  return {"explain",
          "explain [KEY]",
          "say what a key of a case file means, its unit and source",
          "Says what a key of a case file means, with unit, default, range and source. KEY may also be a "
          "section, a material, an activity or a foot form; materials, activities and foot forms list what "
          "there is. Without KEY: lists all.",
          {},
          1,
          general_cautions(),
          run};
}

} // namespace raybend
