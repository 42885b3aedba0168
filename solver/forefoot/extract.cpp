#include "solver/forefoot/extract.hpp"
namespace raybend {
void extract(const ForefootState &, unsigned, const Vector &, DesignResult &, bool) {}
} // namespace raybend
