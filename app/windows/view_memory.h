#pragma once

#include <QObject>
#include <QTimer>

class QSettings;

namespace beatwitness::app {

class Document;
class SessionPage;

/// What was in sight of each session comes back with it: range, cursor, selected stretch and page; kept in
/// the settings by the reference's SHA-256. Science lives elsewhere.
class ViewMemory : public QObject {
    Q_OBJECT

public:
    /// `page` in front: 0, 1, …
    ViewMemory(QSettings& settings, Document& document, SessionPage& session, QObject* parent);

    void setPage(int page);
    /// Writes what is due.
    void keep();

signals:
    void pageRemembered(int page);

private:
    void sessionChanged();
    void restore();
    [[nodiscard]] QString group() const;

    QSettings& settings_;
    Document& document_;
    SessionPage& session_;
    QString key_;
    int page_ = 0;
    QTimer due_;
};

}  // namespace beatwitness::app
