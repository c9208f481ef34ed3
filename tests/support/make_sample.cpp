#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <iterator>

#include "tests/support/generator_sample.h"
#include "tests/support/sample_library.h"

/// make_sample_sessions FOLDER: writes the sample library and its truth into an existing folder.
int main(int argc, char** argv) {
    if (argc != 2) {
        std::cerr << "usage: make_sample_sessions FOLDER\n";
        return 2;
    }
    auto files = beatwitness::tests::sampleFiles();
    std::ranges::move(beatwitness::tests::sampleLibraryFiles(), std::back_inserter(files));
    for (const auto& file : files) {
        const auto path = std::filesystem::path{argv[1]} / file.name;
        std::ofstream out{path, std::ios::binary};
        out.write(reinterpret_cast<const char*>(file.bytes.data()),
                  static_cast<std::streamsize>(file.bytes.size()));
        if (!out.flush()) {
            std::cerr << "Could not write " << path << ".\n";
            return 4;
        }
        std::cout << path.string() << ", " << file.bytes.size() << " bytes\n";
    }
    return 0;
}
