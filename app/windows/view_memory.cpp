#include "app/windows/view_memory.h"

#include <QSettings>

#include "app/document/document.h"
#include "app/document/selection.h"
#include "app/pages/session_page.h"
#include "widgets/plots/timeline_view.h"

namespace beatwitness::app {

using widgets::TimelineView;

namespace {
constexpr int due_ms = 800;
constexpr int most = 300;  ///< sessions remembered; the oldest by key order go
}  // namespace

ViewMemory::ViewMemory(QSettings& settings, Document& document, SessionPage& session, QObject* parent)
    : QObject(parent), settings_(settings), document_(document), session_(session) {
    due_.setSingleShot(true);
    due_.setInterval(due_ms);
    connect(&due_, &QTimer::timeout, this, &ViewMemory::keep);
    const auto soon = [this] { due_.start(); };
    connect(&session_.timeline(), &TimelineView::rangeChanged, this, soon);
    connect(&session_.timeline(), &TimelineView::cursorMoved, this, soon);
    connect(&document_.selection(), &Selection::changed, this, soon);
    connect(&document_, &Document::recordingsChanged, this, [this] { due_.stop(); });
    connect(&document_, &Document::analysisChanged, this, &ViewMemory::sessionChanged);
}

QString ViewMemory::group() const {
    return QStringLiteral("views/") + key_;
}

void ViewMemory::setPage(int page) {
    page_ = page;
    due_.start();
}

void ViewMemory::sessionChanged() {
    const QString key = document_.hasSession()
                            ? QString::fromStdString(document_.analysis()->reference.sha256).left(16)
                            : QString();
    if (key == key_) return;
    key_ = key;
    if (!key_.isEmpty()) restore();
}

void ViewMemory::restore() {
    settings_.beginGroup(group());
    const auto range = settings_.value(QStringLiteral("range")).toList();
    const auto cursor = settings_.value(QStringLiteral("cursor"));
    const auto selected = settings_.value(QStringLiteral("selected")).toList();
    const int page = settings_.value(QStringLiteral("page"), 0).toInt();
    settings_.endGroup();
    if (range.size() == 2) session_.timeline().setRange(range[0].toDouble(), range[1].toDouble());
    if (cursor.isValid()) session_.timeline().setCursor(cursor.toDouble());
    if (selected.size() == 2)
        document_.selection().setRange(std::pair{selected[0].toDouble(), selected[1].toDouble()});
    if (range.size() == 2) emit pageRemembered(page);
}

void ViewMemory::keep() {
    due_.stop();
    if (key_.isEmpty() || !document_.hasSession()) return;
    settings_.beginGroup(QStringLiteral("views"));
    const auto known = settings_.childGroups();
    if (known.size() > most && !known.contains(key_)) settings_.remove(known.front());
    settings_.endGroup();
    const auto& timeline = session_.timeline();
    settings_.beginGroup(group());
    settings_.setValue(QStringLiteral("range"),
                       QVariantList{timeline.range().first, timeline.range().second});
    const auto cursor = timeline.cursor();
    if (cursor)
        settings_.setValue(QStringLiteral("cursor"), *cursor);
    else
        settings_.remove(QStringLiteral("cursor"));
    const auto selected = document_.selection().range();
    if (selected)
        settings_.setValue(QStringLiteral("selected"), QVariantList{selected->first, selected->second});
    else
        settings_.remove(QStringLiteral("selected"));
    settings_.setValue(QStringLiteral("page"), page_);
    settings_.endGroup();
}

}  // namespace beatwitness::app
