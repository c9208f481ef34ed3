#include "app/windows/sample_pair.h"

#include <QCoreApplication>
#include <QDir>

namespace beatwitness::app {
namespace {

QString firstNamed(const QDir& folder, const QString& word) {
    const auto names = folder.entryList({word + QStringLiteral("*.fit"), word + QStringLiteral("*.csv")},
                                        QDir::Files, QDir::Name);
    return names.isEmpty() ? QString() : folder.filePath(names.front());
}

FilesByRole pairIn(const QDir& folder) {
    FilesByRole pair{
        firstNamed(folder, QStringLiteral("*strap")), {firstNamed(folder, QStringLiteral("*band"))}, {}};
    if (!pair.reference.isEmpty() && !pair.tests.front().isEmpty()) return pair;
    for (const auto& name : folder.entryList(QDir::Dirs | QDir::NoDotAndDotDot, QDir::Name)) {
        auto below = pairIn(QDir(folder.filePath(name)));
        if (!below.reference.isEmpty()) return below;
    }
    return {};
}

}  // namespace

FilesByRole findSamplePair() {
    const QString beside =
        QCoreApplication::applicationDirPath() + QStringLiteral("/../share/beatwitness/sample-sessions");
    for (const auto& path : {beside, QStringLiteral(BEATWITNESS_SAMPLE_DIR)}) {
        const QDir folder(path);
        if (!folder.exists()) continue;
        auto pair = pairIn(folder);
        if (!pair.reference.isEmpty()) return pair;
    }
    return {};
}

}  // namespace beatwitness::app
