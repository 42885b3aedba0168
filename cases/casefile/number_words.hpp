// Numbers as people write them and TOML does not: 61 kg, 61,5, 17 000.
#pragma once
#include "cases/catalogue/catalogue.hpp"
#include <string>

namespace raybend {

/// What is wanted in the place of `text`, which is no number, for the key `name`: "one number is wanted, with a decimal
/// point and nothing else (kg is in the key's name): write body_mass_kg = 61", this where it is sure. `row`: of the
/// key, nullptr if it is not known.
std::string number_wanted(const CatalogueRow *row, const std::string &name, const std::string &text);

/// Of a number with a unit of the same sort as the key's: "154 lb are 69.85 kg"; else "".
std::string in_unit_of_key(const CatalogueRow &row, const std::string &text);

/// Of a number outside its range (that of ray 1 to 5, or 0): what it is in the key's unit, where it lies in the usual
/// range as centimetres, metres or per cent: "24.1 cm are 241 mm"; else "".
std::string in_unit_of_key(const CatalogueRow &row, double value, int ray);

/// Of a number with a mark before its last three digits (1.800, 1,800) that is far too small for this key with
/// the mark for a decimal point, and usual without it: the number without it, else "". `ray` 1 to 5 or 0.
std::string thousands_of(const CatalogueRow &row, int ray, const std::string &written, char mark);

} // namespace raybend
