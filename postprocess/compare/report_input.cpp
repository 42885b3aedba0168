// Everything a report on one activity is made of, as plain values: the case as it was resolved and what every design
// gave.
#include "postprocess/compare/report_input.hpp"
#include "postprocess/text/text_table.hpp"
#include <stdexcept>

namespace raybend {

const ReportInput::Resolved *ReportInput::find(const std::string &key) const {
  for (const Resolved &r : resolved)
    if (r.key == key)
      return &r;
  return nullptr;
}

std::size_t reference_place(const ReportInput &input) {
  if (input.outcomes.empty())
    throw std::invalid_argument("a report needs at least one design");
  if (input.reference.empty())
    return 0;
  for (std::size_t i = 0; i < input.outcomes.size(); ++i)
    if (input.outcomes[i].design.name == input.reference)
      return i;
  throw std::invalid_argument("no design is called \"" + input.reference + "\" (the reference)");
}

std::string case_echo(const ReportInput &input) {
  if (input.case_text.empty())
    return "";
  std::string text;
  for (const std::string &change : input.changes)
    text += "# changed on the command line: " + one_line(change) + "\n";
  return text + input.case_text;
}

} // namespace raybend
