#include "cases/case_error.hpp"

namespace raybend {

namespace {

std::string joined(const std::vector<Fault> &faults) {
  std::string all;
  for (const Fault &f : faults)
    all += (all.empty() ? "" : "\n") + f.message();
  return all;
}

} // namespace

std::string Fault::message() const {
  std::string head = file;
  if (from_set)
    head += ": --set";
  else if (line > 0)
    head += ":" + std::to_string(line);
  if (!key.empty())
    head += ": " + key;

  std::string body;
  const auto add = [&body](const std::string &part) { body += (body.empty() ? "" : "; ") + part; };
  if (!problem.empty())
    add(problem);
  if (!found.empty())
    add("found " + found);
  if (!allowed.empty())
    add("allowed " + allowed);
  if (!hint.empty())
    add(hint);
  if (!nearest.empty())
    add("did you mean \"" + nearest + "\"?");
  return head + ": " + body;
}

CaseError::CaseError(std::vector<Fault> faults)
    : std::runtime_error(joined(faults)), list(std::move(faults)) {}

} // namespace raybend
