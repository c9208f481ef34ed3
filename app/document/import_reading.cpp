#include "app/document/import_reading.h"

#include "core/library/library.h"

namespace beatwitness::app {
namespace {

using namespace library;

/// Share of the work that reading the files is; the rest is the library's knowledge.
constexpr double readingShare = 0.85;

ReadImport proposed(ImportSource source) {
    ReadImport read;
    read.plan = proposeImport(source.files, source.knowledge);
    source.verdicts = read.plan.files;
    read.source = std::make_shared<const ImportSource>(std::move(source));
    return read;
}

Result<std::shared_ptr<const ReadFile>> readOne(const std::filesystem::path& path,
                                                const recording::ReadOptions& options,
                                                const RunControl& run) {
    auto file = readForLibrary(path, options, run);
    if (file) return file;
    Fault fault = file.fault();
    if (fault.file.empty()) fault.file = path.string();
    return fault;
}

}  // namespace

Result<ReadImport> readImport(const std::vector<std::filesystem::path>& files,
                              const std::filesystem::path& library, const RunControl& run) {
    ImportSource source;
    for (std::size_t i = 0; i < files.size(); ++i) {
        if (run.stopRequested()) return cancelled();
        const auto done = [&](std::size_t count) {
            return readingShare * static_cast<double>(count) / static_cast<double>(files.size());
        };
        auto file = readOne(files[i], {}, run.part(done(i), done(i + 1)));
        if (run.stopRequested()) return cancelled();
        if (file)
            source.files.push_back(offered(std::move(*file)));
        else
            source.unread.push_back({files[i].string(), file.fault()});
        run.progress(done(i + 1));
    }
    source.readAs.resize(source.files.size());
    if (!library.empty()) {
        auto opened = Library::open(library, {.write = false});
        if (!opened) return opened.fault();
        auto knowledge = knowledgeOf(*opened, source.files, run.part(readingShare, 1.0));
        if (!knowledge) return knowledge.fault();
        source.knowledge = std::move(*knowledge);
    }
    return proposed(std::move(source));
}

Result<ReadImport> readAnew(const ImportSource& source, std::size_t index,
                            const recording::ReadOptions& options, const RunControl& run) {
    auto file = readOne(source.files[index].read().file, options, run);
    if (!file) return file.fault();
    ImportSource next = source;
    next.files[index] = offered(std::move(*file));
    next.readAs[index] = options;
    return proposed(std::move(next));
}

Result<ReadImport> readAnewUnread(const ImportSource& source, std::size_t unread,
                                  const recording::ReadOptions& options, const RunControl& run) {
    auto file = readOne(source.unread[unread].path, options, run);
    if (!file) return file.fault();
    ImportSource next = source;
    next.files.push_back(offered(std::move(*file)));
    next.readAs.push_back(options);
    next.unread.erase(next.unread.begin() + static_cast<std::ptrdiff_t>(unread));
    return proposed(std::move(next));
}

}  // namespace beatwitness::app
