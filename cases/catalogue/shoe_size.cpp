// Shoe sizes as foot lengths.
#include "cases/catalogue/shoe_size.hpp"
#include <stdexcept>

namespace raybend {

std::vector<std::string> shoe_size_systems() {
  return {"EU", "UK", "US men", "US women", "Mondopoint"};
}

double foot_length_of(const std::string &system, const double size) {
  constexpr double paris_point = 20.0 / 3.0, barleycorn = 25.4 / 3.0, allowance = 15.0;
  if (system == "EU")
    return size * paris_point - allowance;
  if (system == "UK")
    return (size + 25.0) * barleycorn - allowance;
  if (system == "US men")
    return (size + 24.0) * barleycorn - allowance;
  if (system == "US women")
    return (size + 22.5) * barleycorn - allowance;
  if (system == "Mondopoint")
    return size;
  throw std::logic_error("no shoe size system named \"" + system + "\"");
}

} // namespace raybend
