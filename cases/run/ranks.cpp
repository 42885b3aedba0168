// Ranks of the user's own mpirun: which one this is, and what all of them know from rank 0.
#include "cases/run/ranks.hpp"
#include <cstdlib>
#include <mpi.h>
#include <unistd.h>
#include <vector>

namespace raybend {

bool under_mpirun() {
  return std::getenv("OMPI_COMM_WORLD_SIZE") || std::getenv("PMI_SIZE");
}

int environment_rank() {
  for (const char *name : {"OMPI_COMM_WORLD_RANK", "PMI_RANK"})
    if (const char *rank = std::getenv(name))
      return std::atoi(rank);
  return 0;
}

int environment_size() {
  for (const char *name : {"OMPI_COMM_WORLD_SIZE", "PMI_SIZE"})
    if (const char *size = std::getenv(name))
      return std::atoi(size);
  return 1;
}

void leave_mpirun() {
  std::vector<std::string> names;
  for (char **e = environ; *e; ++e)
    for (const std::string prefix : {"OMPI_", "PMIX_", "PMI_"})
      if (std::string(*e).compare(0, prefix.size(), prefix) == 0)
        names.push_back(std::string(*e).substr(0, std::string(*e).find('=')));
  for (const std::string &name : names)
    unsetenv(name.c_str());
}

bool is_root() {
  int rank = 0;
  MPI_Comm_rank(MPI_COMM_WORLD, &rank);
  return rank == 0;
}

int from_root(int value) {
  MPI_Bcast(&value, 1, MPI_INT, 0, MPI_COMM_WORLD);
  return value;
}

std::string from_root(std::string text) {
  text.resize(from_root(static_cast<int>(text.size())));
  MPI_Bcast(text.data(), static_cast<int>(text.size()), MPI_CHAR, 0, MPI_COMM_WORLD);
  return text;
}

} // namespace raybend
